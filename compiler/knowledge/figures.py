"""Sensible figures: what a machinist would key in, and how quantities read in a reason.

Rounding is always down, so that a value that was inside a limit stays inside.
"""

import math

from compiler.job.model import Units
from compiler.units.number import MM_PER_INCH, short

FEET_PER_METRE = 1 / 0.3048


def round_rpm(rpm: float) -> float:
    """Down to a round spindle speed: steps of 1, 10 from 200 and 50 from 5000 rpm."""
    return _down(rpm, ((5000, 50), (200, 10), (0, 1)))


def round_feed(feed: float, units: Units) -> float:
    """Down to a round feed (mm/min): in the job's own units, so that the program reads well."""
    if units == "inch":
        inches = _down(feed / MM_PER_INCH, ((100, 1), (10, 0.5), (1, 0.1), (0, 0.01)))
        return inches * MM_PER_INCH
    return _down(feed, ((1000, 10), (100, 5), (10, 1), (0, 0.1)))


def feed_text(feed: float, units: Units) -> str:
    """A feed in the job's units, as `27.5 in/min`."""
    return f"{_figure(feed / MM_PER_INCH)} in/min" if units == "inch" else f"{_figure(feed)} mm/min"


def length_text(length: float, units: Units, figures: int = 3) -> str:
    """A length in the job's units to so many figures, as `0.0035 in`."""
    if units == "inch":
        return f"{_figure(length / MM_PER_INCH, figures)} in"
    return f"{_figure(length, figures)} mm"


def speed_text(speed: float, units: Units) -> str:
    """A cutting speed in the job's units, as `400 ft/min`."""
    if units == "inch":
        return f"{_figure(speed * FEET_PER_METRE)} ft/min"
    return f"{_figure(speed)} m/min"


def angle_text(angle: float) -> str:
    """An angle (rad) in degrees, as `60 deg`."""
    return f"{_figure(math.degrees(angle))} deg"


def share_text(share: float) -> str:
    """A fraction as a percentage, as `70 %`."""
    return f"{round(100 * share)} %"


def _figure(value: float, figures: int = 3) -> str:
    """So many figures, never an exponent, no trailing zeros."""
    if value == 0:
        return "0"
    return short(value, max(0, figures - 1 - math.floor(math.log10(abs(value)))))


def _down(value: float, steps: tuple[tuple[float, float], ...]) -> float:
    """Down to a multiple of the step of its range; tiny values stay as they are."""
    for start, step in steps:
        if value >= start:
            # the hair keeps 0.3 / 0.1 at 3, not 2
            rounded = round(math.floor(value / step + 1e-9) * step, 6)
            return rounded if rounded > 0 else value
    return value
