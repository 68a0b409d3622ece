"""Ways a rapid may take: the straight line, and the dog-leg of axes that run each for itself.

NISTIR 6556 draws a rapid as one straight line; many machines move every axis at its own full rate
until it arrives (common practice, no source). A rapid is clear when both ways are.
"""

from collections.abc import Iterator
from dataclasses import replace

from compiler.read import Motion, Place


def ways(motion: Motion) -> Iterator[Motion]:
    """The motion, and the legs of its dog-leg where that is another way; all axes equally quick."""
    yield motion
    start, end = motion.start, motion.end
    goes = (end.x - start.x, end.y - start.y, end.z - start.z)
    times = sorted({abs(d) for d in goes if abs(d) > 1e-9})
    if len(times) < 2:
        return
    here = start
    for t in times:
        there = Place(
            start.x + _run(goes[0], t), start.y + _run(goes[1], t), start.z + _run(goes[2], t)
        )
        yield replace(motion, start=here, end=there)
        here = there


def _run(distance: float, time: float) -> float:
    """How far an axis has come at unit rate."""
    return distance if abs(distance) <= time else time * (1.0 if distance > 0 else -1.0)
