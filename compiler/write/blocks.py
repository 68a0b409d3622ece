"""The moves of an operation as blocks, and what the control remembers between them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from compiler.geometry import Arc
from compiler.motion import Move, OperationPath, Point3, Rapid, Side, Straight, Turn
from compiler.write import arcs
from compiler.write.cycles import cycle_blocks, cycle_word, dwell_words
from compiler.write.dialects import Dialect
from compiler.write.digits import Digits
from compiler.write.lines import Lines

# A chord of 15 degrees leaves the circle by 0.9 % of its radius, inwards: a helix is bored in
# cleared room or is the hole's own, and the level turn after it is a true circle again.
RAMP_SWEEP = math.pi / 12


@dataclass(slots=True)
class Control:
    """What the control stands on, in steps; None: not stated since it was last made to forget."""

    x: int | None = None
    y: int | None = None
    z: int | None = None
    motion: str = ""
    feed: str = ""
    side: Side | None = None  # G41, G42; None: G40


def write_path(
    lines: Lines,
    path: OperationPath,
    *,
    digits: Digits,
    dialect: Dialect,
    radius_form: bool,
    most_feed: float,
    arrival: float,
    length_words: tuple[str, ...] = (),
    wear_offset: int = 0,
    stop_above: bool = False,
    across_first: bool = False,
) -> None:
    """All moves of one operation, as blocks.

    Begins as if the control remembered nothing: Z to a safe height first, then across, then every
    word stated, so that the program can be taken up at any operation.

    Args:
        lines: Where the blocks go.
        path: The operation's moves, mm.
        digits: The program's decimals.
        dialect: The standard.
        radius_form: Arcs by R words rather than centre offsets.
        most_feed: The machine's greatest feed, mm/min.
        arrival: Z of the first move, mm: clearance, or higher after a tool change.
        length_words: The length offset, after a tool change: goes with the first move in Z.
        wear_offset: The D word of moves that the control compensates.
        stop_above: Stop above the first place, before going down.
        across_first: Z stands at the top of its travel: across there, and only then down to
            `arrival`; for another work offset, which may lie at another height.
    """
    state = Control()
    state.motion = "G0"
    on_arc = _points_on_arcs(path)
    if across_first:
        rounded, first = (digits.fine if on_arc[0] else digits.coarse), path.moves[0].to
        state.x, state.y = rounded(first.x), rounded(first.y)
        lines.block("G0", f"X{digits.text(state.x)}", f"Y{digits.text(state.y)}")
    state.z = digits.coarse(arrival)
    lines.block("G0", *length_words, f"Z{digits.text(state.z)}")
    here = Point3(math.nan, math.nan, arrival)
    word = cycle_word(path, lines.style, dialect)
    # a cycle's block says a hole whole: of the moves only the one to the first hole is written
    moves = path.moves[:1] if word else path.moves
    for move, fine in zip(moves, on_arc, strict=not word):
        _switch(lines, state, move, wear_offset)
        if isinstance(move, Turn):
            _turn(lines, state, here, move, digits, dialect, radius_form, most_feed)
        else:
            stays = here.xy == move.to.xy
            _line(lines, state, move, digits, fine, stays, most_feed)
        if isinstance(move, Straight) and move.dwell:
            lines.block(*dwell_words(move.dwell, lines.style))
        if stop_above and move is moves[0]:
            lines.remark("stop: see where the tool is, and the distance to go")
            lines.block("M0")
        here = move.to
    if word:
        blocks = cycle_blocks(path, word, style=lines.style, digits=digits, most_feed=most_feed)
        for words in blocks:
            lines.block(*words)


SWITCHES: Mapping[Side | None, str] = {"left": "G41", "right": "G42", None: "G40"}


def _switch(lines: Lines, state: Control, move: Move, wear_offset: int) -> None:
    """Compensation on or off, where a move changes it, in the block of that move."""
    side = None if isinstance(move, Rapid) else move.side
    if side == state.side:
        return
    if not isinstance(move, Straight):
        raise ValueError("compensation is switched on straight fed moves only")
    lines.before = (SWITCHES[side],) if side is None else (SWITCHES[side], f"D{wear_offset}")
    state.side, state.motion = side, ""
    if side is None:
        # the tool stands beside the place that was written: both words bring it back
        state.x = state.y = None


def _points_on_arcs(path: OperationPath) -> list[bool]:
    """For each move, whether an arc starts where it ends in the plane, or it is one itself."""
    marks = [False] * len(path.moves)
    for index in range(len(path.moves) - 1, -1, -1):
        move = path.moves[index]
        following = path.moves[index + 1] if index + 1 < len(path.moves) else None
        starts_arc = isinstance(following, Turn)
        stays = (
            following is not None
            and following.to.xy == move.to.xy
            and index + 1 < len(marks)
            and marks[index + 1]
        )
        marks[index] = isinstance(move, Turn) or starts_arc or stays
    return marks


def _line(
    lines: Lines,
    state: Control,
    move: Rapid | Straight,
    digits: Digits,
    fine: bool,
    stays: bool,
    most_feed: float,
) -> None:
    """A rapid or a fed straight line; nothing where it is shorter than a step.

    Where it stays in the plane the digits written last stay too, those of an arc included.
    """
    rounded = digits.fine if fine else digits.coarse
    x, y = (state.x, state.y) if stays else (rounded(move.to.x), rounded(move.to.y))
    z = digits.coarse(move.to.z)
    across = x != state.x or y != state.y
    lift = state.z is None or z != state.z
    if not across and not lift:
        return
    if isinstance(move, Rapid) and across and lift:
        _rapid_in_two(lines, state, digits, x, y, z)
        return
    words = _words(state, digits, x, y, z)
    if isinstance(move, Rapid):
        motion, feed = "G0", ""
    else:
        motion, feed = "G1", f"F{digits.feed(move.feed, most_feed)}"
    _emit(lines, state, motion, words, feed)


def _rapid_in_two(
    lines: Lines, state: Control, digits: Digits, x: int | None, y: int | None, z: int
) -> None:
    """A rapid across and up or down: the higher way, as not every control keeps to the line."""
    if state.z is None or z > state.z:
        _emit(lines, state, "G0", _words(state, digits, state.x, state.y, z), "")
        _emit(lines, state, "G0", _words(state, digits, x, y, z), "")
    else:
        _emit(lines, state, "G0", _words(state, digits, x, y, state.z), "")
        _emit(lines, state, "G0", _words(state, digits, x, y, z), "")


def _words(
    state: Control, digits: Digits, x: int | None, y: int | None, z: int | None
) -> list[str]:
    """The axis words that changed, and the state moved on to them."""
    words = []
    for axis in "xyz":
        value = {"x": x, "y": y, "z": z}[axis]
        if value is not None and value != getattr(state, axis):
            words.append(f"{axis.upper()}{digits.text(value)}")
            setattr(state, axis, value)
    return words


def _emit(lines: Lines, state: Control, motion: str, words: list[str], feed: str) -> None:
    """One motion block: the motion word unless it holds already, the feed where it changes."""
    shown = "" if state.motion == motion and motion in ("G0", "G1") else motion
    new_feed = feed if feed and feed != state.feed else ""
    state.motion = motion
    state.feed = feed or state.feed
    long = len("".join((*lines.before, shown, *words, new_feed))) > lines.room
    if long and new_feed:
        before, lines.before = lines.before, ()
        lines.block(new_feed)
        lines.before, new_feed = before, ""
    lines.block(shown, *words, new_feed)


def _turn(
    lines: Lines,
    state: Control,
    here: Point3,
    move: Turn,
    digits: Digits,
    dialect: Dialect,
    radius_form: bool,
    most_feed: float,
) -> None:
    """An arc or helix, split where the dialect or its rounding wants it."""
    if state.x is None or state.y is None:
        raise ValueError("an arc can't be the first move of an operation")
    exact = Arc(here.xy, move.to.xy, move.centre, move.ccw)
    if here.z != move.to.z and lines.style.helices == "lines":
        _ramps(lines, state, exact, here.z, move, digits, most_feed)
        return
    largest = arcs.LARGEST_RADIUS_SWEEP if radius_form else dialect.largest_sweep
    start = (state.x, state.y)
    made = arcs.pieces(exact, start, digits, largest_sweep=largest)
    feed = f"F{digits.feed(move.feed, most_feed)}"
    for piece in made:
        z = digits.coarse(here.z + piece.share * (move.to.z - here.z))
        if piece.centre is None:
            _emit(lines, state, "G1", _words(state, digits, *piece.end, z), feed)
        else:
            state.x = state.y = None  # both are always written on an arc
            words = _words(state, digits, *piece.end, z)
            words += _centre_words(start, piece.end, piece.centre, digits, radius_form)
            _emit(lines, state, "G3" if move.ccw else "G2", words, feed)
        start = piece.end
    if not made and (z := digits.coarse(move.to.z)) != state.z:
        _emit(lines, state, "G1", _words(state, digits, state.x, state.y, z), feed)


def _ramps(
    lines: Lines,
    state: Control,
    exact: Arc,
    top: float,
    move: Turn,
    digits: Digits,
    most_feed: float,
) -> None:
    """A helix as short straight ramps, every one a chord of its circle."""
    count = max(1, math.ceil(abs(exact.sweep) / RAMP_SWEEP - 1e-9))
    feed = f"F{digits.feed(move.feed, most_feed)}"
    for k in range(1, count + 1):
        at = exact.at(k / count)
        z = digits.coarse(top + (move.to.z - top) * k / count)
        _emit(
            lines,
            state,
            "G1",
            _words(state, digits, digits.fine(at.x), digits.fine(at.y), z),
            feed,
        )


def _centre_words(
    start: arcs.Steps, end: arcs.Steps, centre: arcs.Steps, digits: Digits, radius_form: bool
) -> list[str]:
    """Where the arc's centre is: I and J from the start, or R, never below half the chord."""
    if radius_form:
        mean = (math.dist(start, centre) + math.dist(end, centre)) / 2
        return [f"R{digits.text(math.ceil(mean))}"]
    return [f"I{digits.text(centre[0] - start[0])}", f"J{digits.text(centre[1] - start[1])}"]
