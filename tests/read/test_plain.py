"""The short way of plain blocks takes what the control takes, to the same effect, and no more."""

from __future__ import annotations

import random

import pytest

from compiler.read.control import Control
from compiler.read.model import Block, Place, State
from compiler.read.refusal import RefusalError
from compiler.read.words import scan

GOOD = ("0", "1", "-1.5", "+.25", "12.", "3.0001", "2", "-2")
BAD = ("999999", "-0", "1e3", "", ".", "8 5")
MOTIONS = ("", "", "G0", "G1", "G2", "G03", "G1", "G80", "G91", "G81")
ODD = ("R1", "K0", "N12", "N123456", "M8", "G90", "G1 G2", "S5", "A1", "(x)", "x1", "/")
STARTS = [
    State(motion="G1", units="mm", feed=100.0),
    State(motion="G3", units="inch", feed=100.0, absolute=False),
    State(motion="G2", units="inch", feed=254.0),
    State(motion="G80", units="mm"),
    State(motion="G81", units="mm", feed=10.0),
    State(feed=1.0, motion="G0"),
]
PLACES = [
    Place(1.0, 2.0, 3.0),
    Place(0.0, 0.0, 5.0),
    Place(x=4.0, y=4.0),
    Place(4.0, 4.0, home="Z"),
]


def written(rng: random.Random) -> str:
    """A line of some words: mostly in the usual order, mostly with good numbers."""
    numbers = GOOD if rng.random() < 0.8 else GOOD + BAD
    words = [rng.choice(MOTIONS)]
    words += [letter + rng.choice(numbers) for letter in "XYZIJF" if rng.random() < 0.4]
    if rng.random() < 0.1:
        rng.shuffle(words)
    if rng.random() < 0.2:
        words.insert(rng.randrange(len(words) + 1), rng.choice(ODD))
    return rng.choice(("", " ")).join(words)


def done(control: Control, line: str, *, plainly: bool) -> Block | str | None:
    """The block that a control makes of a line, or why it refuses it."""
    try:
        return control.take_plain(7, line) if plainly else control.take(7, scan(line))
    except RefusalError as refusal:
        return refusal.message + refusal.remedy


@pytest.mark.parametrize("state", STARTS, ids=lambda s: f"{s.motion} {s.units}")
def test_plain_blocks_are_taken_as_all_are(state: State) -> None:
    rng = random.Random(repr(state))
    plain = 0
    for _ in range(1000):
        line, place = written(rng), rng.choice(PLACES)
        short, long = Control(state, place), Control(state, place)
        block = done(short, line, plainly=True)
        if block is None:
            assert (short.state, repr(short.place)) == (state, repr(place))
            continue
        plain += 1
        assert repr(block) == repr(done(long, line, plainly=False)), line
        if isinstance(block, Block):
            assert (short.state, repr(short.place)) == (long.state, repr(long.place))
    assert plain > 25 or not (state.units and state.absolute)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("G2 X9 Y2 I1 J0", "the arc's radii at start and end differ"),
        ("G2 X1 Y2 I0 J0", "the arc's radius is zero"),
        ("G3 X0 Y0 I99999999999", "the arc's radius is"),
    ],
)
def test_arcs_are_refused_in_the_same_words(line: str, why: str) -> None:
    state, place = State(motion="G1", units="mm", feed=100.0), PLACES[0]
    short, long = (done(Control(state, place), line, plainly=plainly) for plainly in (True, False))
    assert short == long
    assert str(short).startswith(why)


def test_long_lines_go_the_long_way() -> None:
    control = Control(State(motion="G1", units="mm", feed=100.0), PLACES[0])
    assert control.take_plain(1, "X" + "1" * 3 + " " * 300) is None
    assert control.take_plain(1, "X" + "1" * 3 + " " * 200) is not None
