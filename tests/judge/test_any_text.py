"""No text, however broken, makes reader or judge raise: a finding is all it ever is."""

from __future__ import annotations

import random

from boss_plate import TAIL, world
from hypothesis import given
from hypothesis import strategies as st

from compiler.read import Dialect, Program, read

PIECES = ["G", "X", "Y", "Z", "I", "J", "R", "F", "M", "T", "H", "0", "1", "2", "3", "90", "91"]
PIECES += [
    ".",
    "-",
    " ",
    "\n",
    "(",
    ")",
    ";",
    "%",
    "/",
    "#",
    "[",
    "28",
    "53",
    "81",
    "43",
    "é",
    "\0",
]


@given(st.lists(st.sampled_from(PIECES), max_size=60).map("".join))
def test_the_reader_never_raises(text: str) -> None:
    for dialect in (Dialect(), Dialect(semicolons=True, program_numbers=True)):
        outcome = read(text, dialect=dialect)
        assert isinstance(outcome.value, Program) or outcome.findings[0].code == "E501"


@given(st.text(max_size=80))
def test_nor_on_any_characters(text: str) -> None:
    outcome = read("G21 G90\n" + text)
    assert (outcome.value is None) == bool(outcome.findings)


def test_the_judge_never_raises() -> None:
    rng = random.Random(7)
    lines = world().text.split("\n")
    for _ in range(40):
        mutant = [*lines]
        for _ in range(3):
            at = rng.randrange(len(mutant))
            match rng.randrange(4):
                case 0:
                    del mutant[at]
                case 1:
                    mutant.insert(at, rng.choice(lines))
                case 2:
                    mutant[at] = mutant[at].replace("G1", "G0").replace("Z", "X", 1)
                case 3:
                    mutant[at] = "".join(rng.sample(mutant[at], len(mutant[at])))
        good = world()
        outcome = good.edited(good.text, "\n".join(mutant)).judge()
        assert outcome.value is not None
        assert len(outcome.value.obligations) == 11


def test_a_program_that_does_nothing() -> None:
    good = world()
    for text in (TAIL, "M30\n", "G21\nM30\n", "G20 G21\nM30\n"):
        outcome = good.edited(good.text, text).judge()
        assert outcome.value is not None
        assert not outcome.value.held
        assert outcome.findings
