"""Wild program texts for the reader, and for the judge where the reader takes them.

Two in three are changed from programs of a small plate (as bytes, by lines and numbers, by words),
the rest grown from the words of the language with numbers that no machine knows. What is read is
cut and judged on the plate, twice: the second time must give the same report. With `--read` it is
only read, twice, and every move held against the one before it.
"""

from __future__ import annotations

import itertools
import math
import random
import sys
from functools import cache
from pathlib import Path

from kind import Kind, changed

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests" / "judge"), str(ROOT / "tests" / "mutation")]

CYCLES = """G98 G81 X5 Y5 R1 Z-3 F100
X12 Y5
G99 G83 X20 Y5 R1 Z-4 Q0.7
G82 X28 P0.3
G80
"""
HUGE = (
    *("0", "-0", ".", "-", "1e5", "0.00001", "1.0000000001", "-.5", "+7", "360", "32768", "-0.005"),
    *("99999.9", "1000000", "-1000000", "99999999999", "9" * 60, "0." + "0" * 60 + "1", "9" * 240),
)
LETTERS = "XYZIJRFSTHDPQLNGMKABCOUVW"
CODES = (
    *("G0", "G1", "G2", "G3", "G4", "G17", "G18", "G20", "G21", "G28", "G30", "G40", "G41", "G42"),
    *("G43", "G49", "G53", "G54", "G55", "G59.3", "G61", "G64", "G80", "G81", "G82", "G83", "G90"),
    *("G91", "G92", "G93", "G94", "G98", "G99", "M0", "M1", "M2", "M3", "M4", "M5", "M6", "M7"),
    *("M8", "M9", "M30", "M48", "M60", "G100", "M6.00005", "G2.0001", "%", "(operation clear)"),
    *("(a", "a)", ";", "/", "#1=2", "[1+2]", "O1000"),
)


def make(chance: random.Random) -> bytes:
    """A text."""
    kind = chance.random()
    if kind < 0.2:
        return changed(chance, chance.choice(corpus()), corpus())
    if kind < 0.5:
        return _reworded(chance)
    return _grown(chance)


@cache
def corpus() -> tuple[bytes, ...]:
    """The plate's program in rings, in inches, with helices and ramps, with cycles."""
    from boss_plate import world

    text = world().text
    middle = text.replace("G0 Z5.000\nM9", CYCLES + "G0 Z5.000\nM9")
    sloped = text.replace("G1 X", "G1 Z-2 X", 1).replace("G2 X", "G3 Z-3.5 X", 2)
    return tuple(t.encode() for t in (text, middle, sloped, text.replace("G21", "G20")))


@cache
def _world() -> object:
    from boss_plate import world

    return world()


def _number(chance: random.Random) -> str:
    """Mostly one that belongs on the plate."""
    kind = chance.random()
    if kind < 0.2:
        return chance.choice(HUGE)
    if kind < 0.5:
        return f"{chance.uniform(-15, 75):.{chance.randrange(5)}f}"
    if kind < 0.8:
        return str(chance.randrange(-12, 60))
    return f"{chance.uniform(-1, 1):.{chance.randrange(1, 8)}f}"


def _block(chance: random.Random) -> str:
    """Mostly a block that the language allows, wherever its numbers lead."""
    if chance.random() < 0.04:
        return _words(chance)

    def some(letters: str, least: int = 1) -> str:
        taken = chance.sample(letters, chance.randrange(least, len(letters) + 1))
        return " ".join(letter + _legal(chance) for letter in sorted(taken))

    return chance.choice(
        (
            f"G0 {some('XYZ')}",
            f"G0 {some('XY')}",
            f"G1 {some('XYZ')}",
            some("XYZ"),
            f"G1 {some('XY')} F{abs(float(_legal(chance))):.3f}",
            f"G{chance.choice('23')} {some('XY')} R{_legal(chance)}",
            _turn(chance),
            _turn(chance),
            f"G81 {some('XY')} R2 Z{-abs(float(_legal(chance))):.4f}",
            f"S{abs(float(_legal(chance))):.2f}",
            chance.choice(("G90", "G91", "M3", "M5", "M8", "G4 P0.5", "G28", "G80 G90", "G54 G90")),
        )
    )


def _turn(chance: random.Random) -> str:
    """An arc that closes or a half turn, as a rule, since chance alone seldom meets its end."""
    i, j = float(_legal(chance)), float(_legal(chance))
    z = f" Z{_legal(chance)}" if chance.random() < 0.3 else ""
    code = f"G{chance.choice('23')}"
    if chance.random() < 0.5:
        return f"G91 {code} X{2 * i:.4f} Y{2 * j:.4f} I{i:.4f} J{j:.4f}{z}\nG90"
    return f"{code} X10 Y10 I{i:.3f} J{j:.3f}{z}"


def _legal(chance: random.Random) -> str:
    """A number that the language allows."""
    while True:
        number = _number(chance)
        if "e" not in number and any(c.isdigit() for c in number):
            return number


def _words(chance: random.Random) -> str:
    """One block of anything."""
    words = [chance.choice(CODES) for _ in range(chance.choice((0, 0, 1, 1, 1, 2, 5)))]
    words += [
        chance.choice(LETTERS[: chance.choice((3, 3, 6, 9, 25))]) + _number(chance)
        for _ in range(chance.choice((0, 1, 2, 3, 4, 8)))
    ]
    if chance.random() < 0.2:
        chance.shuffle(words)
    return chance.choice((" ", " ", "", "\t")).join(words)


def _reworded(chance: random.Random) -> bytes:
    """A good program with words, numbers and whole blocks put in, or changed as pens slip."""
    from mutants import KINDS

    lines = chance.choice(corpus()).decode().split("\n")
    for _ in range(chance.choice((1, 1, 2, 4))):
        at = chance.randrange(len(lines))
        way = chance.random()
        if way < 0.3:
            lines = KINDS[chance.choice(list(KINDS))](chance, lines) or lines
        elif way < 0.6:
            lines.insert(at, _block(chance))
        elif way < 0.95:
            parts = lines[at].split(" ")
            place = chance.randrange(len(parts))
            parts[place] = parts[place][:1] + _legal(chance)
            lines[at] = " ".join(parts)
        else:
            lines[at] += " " + chance.choice(LETTERS) + _number(chance)
    return "\n".join(lines).encode()


def _grown(chance: random.Random) -> bytes:
    """A head that makes most moves legal, then blocks of chance."""
    head = [
        "G21 G17 G40 G49 G80 G90 G94 G54",
        "T1 M6",
        "S5000 M3",
        "G43 H1 G0 Z5",
        "X-8 Y5",
        "F300",
    ]
    if chance.random() < 0.2:
        del head[chance.randrange(len(head))]
    body = [_block(chance) for _ in range(chance.choice((1, 2, 3, 5, 8)))]
    return "\n".join([*head, *body, "G0 Z5", "M30", ""]).encode()


def try_out(data: bytes) -> str:
    """How it ended: refused by the reader, or which obligations broke."""
    from compiler.judge.judge import judge

    text = data.decode("utf-8", "replace")
    world = _world()
    given = {
        "job": world.job,  # type: ignore[attr-defined]
        "part": world.part,  # type: ignore[attr-defined]
        "plan": world.plan,  # type: ignore[attr-defined]
        "motions": world.motions,  # type: ignore[attr-defined]
    }
    outcome = judge(**given, text=text)
    report = outcome.value
    assert report is not None
    if any(found.code == "E501" for found in outcome.findings):
        assert not any(entry.held for entry in report.obligations)
        return "refused by the reader"
    told = report.model_dump_json()
    if "NaN" in told or "Infinity" in told:
        raise AssertionError("a figure that is no number")
    again = judge(**given, text=text).value
    if again is None or again.model_dump_json() != told:
        raise AssertionError("the same text judged twice gives two things")
    return "proven" if all(e.held for e in report.obligations) else "falls short"


def read_only(data: bytes) -> str:
    """How the reader took it; every move begins where the one before ended, and is measured."""
    from compiler.read import read

    text = data.decode("utf-8", "replace")
    first = read(text)
    if repr(read(text)) != repr(first):
        raise AssertionError("the same text read twice gives two things")
    if first.value is None:
        (refusal,) = first.findings
        assert refusal.code == "E501" and refusal.message and refusal.help
        assert refusal.primary is not None
        assert 1 <= refusal.primary.span.line <= text.count("\n") + 1
        return "refused by the reader"
    motions = first.value.motions
    for before, motion in itertools.pairwise(motions):
        for a, b in ((before.end.x, motion.start.x), (before.end.y, motion.start.y)):
            assert a == b or math.isnan(a) or math.isnan(b), motion
    for motion in motions:
        assert not math.isinf(motion.length) and not math.isinf(motion.sweep), motion
        assert abs(motion.sweep) <= math.tau and not motion.length < 0, motion
    lines = [block.line for block in first.value.blocks]
    assert lines == sorted(set(lines)) and lines[-1] <= first.value.lines
    return "read, and moves" if motions else "read, and stands still"


KIND = Kind("programs", make, try_out, read_only)
