"""The largest force across a cutter in a turn, helix and number of teeth counted.

A tooth at angle a in the material takes a chip of fz sin(a). Along a helical flute the angle lags
with height, by 2 ap tan(helix) / D over the axial depth, so that one tooth engages only a window
of the arc at a time. Integrating kc fz sin(a) over that window gives the tooth's tangential force;
the teeth in contact add up. Plane integration of the circular chip model (Martellotti, Trans. ASME
63 (1941), from memory).

>>> round(peak_share(depth=1.0, diameter=10.0, engagement=math.pi, flutes=2, helix=0.0), 3)
1.0
"""

import math

SIDEWAYS = 1.12  # the radial share, half the tangential one: sqrt(1 + 0.5^2); practice, no source
_POSITIONS = 24  # turning positions looked at over one tooth pitch


def peak_share(
    *, depth: float, diameter: float, engagement: float, flutes: int, helix: float
) -> float:
    """The largest sum over the teeth of sin(a), averaged over the axial depth.

    1 is one tooth engaged over the whole depth at its thickest chip. Depth and diameter mm, angles
    rad.
    """
    lag = 2 * depth * math.tan(helix) / diameter
    pitch = math.tau / flutes
    thickest = min(engagement, math.pi / 2)
    # Half a pitch to either side of the position that puts a tooth about the thickest chip.
    middle = min(thickest - lag / 2, engagement - lag)
    starts = [middle + (step / _POSITIONS - 0.5) * pitch for step in range(_POSITIONS + 1)]
    teeth = range(-flutes, flutes + 1)
    return max(sum(_window(start + tooth * pitch, lag, engagement) for tooth in teeth)
               for start in starts)  # fmt: skip


def peak_force(*, fz: float, depth: float, share: float, specific: float) -> float:
    """Largest force across the cutter, N.

    Feed per tooth and axial depth in mm, `share` from `peak_share`, specific cutting force in
    N/mm2 at this chip.
    """
    return SIDEWAYS * specific * fz * depth * share


def _window(start: float, lag: float, engagement: float) -> float:
    """Mean of sin(a) over [start, start + lag], nothing outside the engaged arc."""
    if lag < 1e-6:
        return math.sin(start) if -1e-9 <= start <= engagement + 1e-9 else 0.0
    low, high = max(0.0, start), min(engagement, start + lag)
    return (math.cos(low) - math.cos(high)) / lag if high > low else 0.0
