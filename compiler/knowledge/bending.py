"""How far a cutter bends, as a cantilever in two steps: fluted part, then shank.

delta = F / (3 E) (Lf^3 / If + (L^3 - Lf^3) / Is) for a force at the tip, I = pi d^4 / 64. The
fluted part counts as a round bar of 0.8 times the cutting diameter: Kops and Vo, "Determination of
the equivalent diameter of an end mill based on its compliance", CIRP Annals 39/1 (1990). Lengths
mm, forces N, results mm and N/mm2.

>>> round(tip_deflection(200, 30, 10, 600_000), 7)
0.0149208
"""

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from compiler.job import Tool

FLUTED = 0.8  # Kops and Vo 1990
STIFFNESS = {"carbide": 600_000.0, "hss": 210_000.0}  # N/mm2; materials handbooks, from memory
# A third of the usual rupture (carbide) or yield (hss) strength: common practice, no source.
ALLOWED_STRESS = {"carbide": 1000.0, "hss": 800.0}
ROUGHING_DEFLECTION = 0.05  # mm; common practice, no source
FINISHING_DEFLECTION = 0.015  # mm; common practice 0.01-0.025, no source


def tip_deflection(
    force: float,
    stickout: float,
    diameter: float,
    stiffness: float,
    *,
    fluted: float | None = None,
    shank_diameter: float | None = None,
    above_tip: float = 0.0,
) -> float:
    """Deflection of the tip, mm, by a force across the cutter.

    `fluted` is the length of the fluted part, the whole stick-out when None; `shank_diameter` that
    of the rest. The force acts `above_tip` up the flutes: the moment-area theorem then gives
    F / E (G(Lf) - G(a)) / If + F / E (G(L) - G(Lf)) / Is with G(x) = x^3 / 3 - a x^2 / 2.
    """
    flutes = stickout if fluted is None else min(fluted, stickout)
    shank = shank_diameter if shank_diameter is not None else diameter
    start = min(above_tip, flutes)

    def moment(x: float) -> float:
        return x**3 / 3 - start * x**2 / 2

    soft = (moment(flutes) - moment(start)) / _second_moment(FLUTED * diameter)
    stiff = (moment(stickout) - moment(flutes)) / _second_moment(shank)
    return force / stiffness * (soft + stiff)


def compliance(tool: "Tool", above_tip: float = 0.0) -> float:
    """Deflection of a tool's tip for each newton across it at that height, mm/N."""
    return tip_deflection(
        1.0,
        tool.stickout,
        tool.diameter,
        STIFFNESS[tool.material],
        fluted=tool.flute_length,
        shank_diameter=tool.shank_diameter,
        above_tip=above_tip,
    )


def load_height(tool: "Tool", axial_depth: float) -> float:
    """How far above the tip the force of a cut acts, mm: half way up the cut.

    Never more than a sixth of the stick-out: along a helix the load comes down to the tip in
    every turn. A caution of ours, no source.
    """
    return min(axial_depth / 2, tool.stickout / 6)


def root_stress(force: float, tool: "Tool", above_tip: float = 0.0) -> float:
    """Largest bending stress, N/mm2: where the flutes end, or where the holder begins."""
    flutes = min(tool.flute_length, tool.stickout)
    arm = max(flutes - above_tip, 0.1 * flutes)
    at_flutes = 32 * force * arm / (math.pi * (FLUTED * tool.diameter) ** 3)
    at_holder = 32 * force * (tool.stickout - above_tip) / (math.pi * tool.shank_diameter**3)
    return max(at_flutes, at_holder) if tool.stickout > flutes else at_flutes


def largest_force(tool: "Tool", deflection: float, above_tip: float = 0.0) -> float:
    """The force across the cutter, N, that bends the tip so far or reaches the allowed stress."""
    by_strength = ALLOWED_STRESS[tool.material] / root_stress(1.0, tool, above_tip)
    return min(deflection / compliance(tool, above_tip), by_strength)


def _second_moment(diameter: float) -> float:
    """Second moment of area of a round bar."""
    return math.pi * diameter**4 / 64
