"""What no machine does: places and moves beyond all bounds, a cycle or a stay without end.

A slipped decimal point leads there, and a text made to harm; the proof would take without end to
follow it. The bounds are far beyond any mill (common practice, no source).
"""

from collections.abc import Sequence

from compiler.read.model import Motion, Place
from compiler.read.refusal import RefusalError

FARTHEST = 100e3  # mm, from the datum and along one move
WIDEST = 100e6  # mm of radius: what such an arc differs from a line no control can tell
MOST_REPEATS = 1000  # holes of one block, pecks of one hole
LONGEST_STAY = 3600.0  # s of one block: no spindle is warmed for longer
_REMEDY = "check the decimal point, and the units"


def check_place(axis: str, value: float) -> None:
    """Refuses a coordinate, mm, that no axis reaches."""
    if abs(value) > FARTHEST:
        raise RefusalError(
            f"`{axis}` leads {abs(value) / 1000:.4g} m from the datum, {FARTHEST / 1000:.0f} m is "
            "the most that is read",
            _REMEDY,
        )


def is_far(place: Place) -> bool:
    """Whether any coordinate, mm, is one that no axis reaches."""
    return abs(place.x) > FARTHEST or abs(place.y) > FARTHEST or abs(place.z) > FARTHEST


def check_radius(radius: float) -> None:
    """Refuses an arc so wide, mm, that its centre says nothing."""
    if not abs(radius) <= WIDEST:
        raise RefusalError(
            f"the arc's radius is {abs(radius) / 1000:.4g} m, {WIDEST / 1000:.0f} m is the most "
            "that is read",
            "write a straight move",
        )


def check_moves(motions: Sequence[Motion]) -> None:
    """Refuses moves that end or run too far; those whose ends the text does not fix may."""
    for motion in motions:
        end = motion.end
        if is_far(end):
            check_place("X", end.x)
            check_place("Y", end.y)
            check_place("Z", end.z)
        if motion.length > FARTHEST:
            raise RefusalError(
                f"the move is {motion.length / 1000:.4g} m long, {FARTHEST / 1000:.0f} m is the "
                "most that is read",
                _REMEDY,
            )


def check_stay(seconds: float) -> None:
    """Refuses a dwell that no part and no spindle asks for."""
    if not seconds <= LONGEST_STAY:
        raise RefusalError(
            f"the block stays for {seconds:.4g} s, {LONGEST_STAY:.0f} s are the most that is read",
            "check the decimal point, and whether the control counts seconds or thousandths; to "
            f"wait for longer than {LONGEST_STAY:.0f} s stop the program by M0",
        )


def check_count(letter: str, count: float, what: str) -> None:
    """Refuses more repeats than any part has."""
    if count > MOST_REPEATS:
        raise RefusalError(
            f"`{letter}` makes {count:.4g} {what}, {MOST_REPEATS} are the most that are read",
            _REMEDY,
        )
