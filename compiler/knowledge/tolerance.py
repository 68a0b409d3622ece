"""General tolerances of lengths: ISO 2768-1:1989, table 1, four classes by nominal size.

From two secondary tables, which disagree in the first two cells of class c (0.15 and 0.2 against
0.2 and 0.3); those taken here agree with one of them and with memory of the standard, which was not
opened.
"""

from compiler.job.model import ToleranceClass

LEAST = 0.5  # mm: smaller sizes carry their tolerance on the drawing
# sizes up to and including so many mm, from 0.5; the next row begins above that
_UP_TO = (3.0, 6.0, 30.0, 120.0, 400.0, 1000.0, 2000.0, 4000.0)
_EITHER_WAY: dict[ToleranceClass, tuple[float | None, ...]] = {
    "f": (0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, None),
    "m": (0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0),
    "c": (0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 4.0),
    "v": (None, 0.5, 1.0, 1.5, 2.5, 4.0, 6.0, 8.0),
}


def general_tolerance(kind: ToleranceClass, nominal: float) -> float | None:
    """How far a length may lie off either way, mm; None where the standard gives none.

    Args:
        kind: f fine, m medium, c coarse, v very coarse.
        nominal: The size, mm.
    """
    size = abs(nominal)
    if size < LEAST - 1e-9:
        return None
    for limit, value in zip(_UP_TO, _EITHER_WAY[kind], strict=True):
        if size <= limit + 1e-9:
            return value
    return None
