"""Chip loads that shops use, as bands by diameter: common practice, no source.

Feed per tooth for a slot or half immersion. A material takes a place in its band, from 0, the
careful end, to 1; high-speed steel keeps to the lower half.
"""

from compiler.job.model import ToolMaterial

Rows = tuple[tuple[float, float], ...]

# diameter mm: (low, high) mm per tooth
NON_FERROUS = (
    (1.0, 0.004, 0.012),
    (3.0, 0.015, 0.035),
    (6.0, 0.030, 0.070),
    (10.0, 0.060, 0.120),
    (12.0, 0.070, 0.150),
    (20.0, 0.100, 0.200),
)
STEEL_AND_IRON = (
    (1.0, 0.002, 0.006),
    (3.0, 0.008, 0.018),
    (6.0, 0.020, 0.040),
    (10.0, 0.040, 0.070),
    (12.0, 0.050, 0.090),
    (20.0, 0.080, 0.130),
)
TOUGH = (
    (1.0, 0.002, 0.005),
    (3.0, 0.006, 0.013),
    (6.0, 0.015, 0.030),
    (10.0, 0.030, 0.050),
    (12.0, 0.035, 0.065),
    (20.0, 0.060, 0.100),
)
HARD = (
    (1.0, 0.001, 0.003),
    (3.0, 0.004, 0.008),
    (6.0, 0.010, 0.020),
    (10.0, 0.015, 0.030),
    (12.0, 0.020, 0.040),
    (20.0, 0.030, 0.050),
)

Band = tuple[tuple[float, float, float], ...]


def chip_loads(band: Band, place: float) -> dict[ToolMaterial, Rows]:
    """Rows of (diameter, feed per tooth) at a place in the band, by tool material."""
    return {"carbide": _at(band, place), "hss": _at(band, place / 2)}


def _at(band: Band, place: float) -> Rows:
    return tuple((size, round(low + place * (high - low), 5)) for size, low, high in band)
