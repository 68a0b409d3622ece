"""The plastics we know. Outside ISO 513; every number is common practice, no source."""

import math

from compiler.job.model import Material
from compiler.knowledge.bands import NON_FERROUS, chip_loads

PRACTICE = "common practice, no source"
HEAT = "Melts before it cuts when chips are not carried off: sharp cutter, air blast, no dwelling."
FLAMMABLE = "Chips burn: no sparks, clear them often."
STRESS = "Some coolants and oils crack it: try one on scrap, or use air."


def _plastic(
    name: str, title: str, hss: float, carbide: float, cautions: tuple[str, ...] = ()
) -> Material:
    """One row; chip band, ramp and depths are the same for all."""
    numbers = ("specific_cutting_force", "cutting_speed.hss", "cutting_speed.carbide",
               "chip_load", "max_ramp_angle", "slot_depth", "side_depth", "cautions")  # fmt: skip
    return Material(
        name=name,
        title=title,
        specific_cutting_force=300.0,
        cutting_speed={"hss": hss, "carbide": carbide},
        chip_load=chip_loads(NON_FERROUS, 0.5),
        max_ramp_angle=math.radians(5),
        slot_depth=1.0,
        side_depth=1.5,
        cautions=(HEAT, *cautions),
        sources=dict.fromkeys(numbers, PRACTICE),
    )


PLASTICS = (
    _plastic("acetal", "Acetal, POM", 120, 300, (FLAMMABLE,)),
    _plastic("nylon", "Nylon, PA 6", 100, 250),
    _plastic("hdpe", "High-density polyethylene, PE-HD", 120, 300),
    _plastic("polycarbonate", "Polycarbonate, PC", 80, 200, (STRESS,)),
)
