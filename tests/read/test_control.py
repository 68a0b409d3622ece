"""Words, modes and their order. Source: NISTIR 6556 sec. 3.3, 3.5, 3.6 and 3.8 (table 8)."""

from __future__ import annotations

import math

import pytest
from reading import START, moves, take

from compiler.read import Dialect, State, read


def test_blanks_and_case_mean_nothing() -> None:
    # sec. 3.3: `g0x +0. 12 34y 7` is G0 X0.1234 Y7
    (move,) = moves("g0x +0. 12 34y 7")
    assert (move.kind, move.end.x, move.end.y) == ("rapid", 0.1234, 7)


def test_a_comment_parts_words_but_never_a_number() -> None:
    (move,) = moves("G1 X1 (aside) Y2")
    assert (move.end.x, move.end.y) == (1, 2)
    assert take("G1 X1(aside)5").value is None


def test_the_last_comment_counts() -> None:
    outcome = take("(one) G1 X1 (two)")
    assert outcome.value is not None and outcome.value.blocks[0].comment == "two"


def test_spindle_stops_before_the_motion_of_its_block() -> None:
    outcome = take("S100 M3", "M5 G1 X1")
    assert outcome.value is not None
    assert outcome.value.motions[0].state.spindle == "off"


def test_coolant_off_acts_before_the_cut_on_its_line() -> None:
    outcome = take("M8", "M9 G1 X1")
    assert outcome.value is not None
    assert not outcome.value.motions[0].state.flood


def test_units_change_before_the_motion_of_their_block() -> None:
    (move,) = moves("G20 G0 X1")
    assert move.end.x == 25.4


def test_feed_acts_before_units_of_its_block() -> None:
    # steps 3 and 12 of table 8: the feed is still in the old unit
    (move,) = moves("G20 G1 X1 F10")
    assert move.state.feed == 10.0


def test_end_acts_after_the_motion_of_its_block() -> None:
    outcome = take("G0 X5 M30", "G999")
    assert outcome.value is not None
    assert [m.end.x for m in outcome.value.motions] == [5]
    assert outcome.value.ended


def test_g91_g28_is_incremental_on_its_line() -> None:
    (home,) = moves("G91 G28 Z0", at=(1, 2, 3))
    assert home.machine and home.end.home == "Z" and math.isnan(home.end.z)
    assert (home.end.x, home.end.y) == (1, 2)


def test_bare_g28_in_g90_first_goes_to_part_zero() -> None:
    first, home = moves("G90 G28 Z0", at=(1, 2, 3))
    assert (first.kind, first.end.z, first.machine) == ("rapid", 0.0, "")
    assert home.machine


def test_g53_zero_is_home_and_elsewhere_is_unknown() -> None:
    up, across = moves("G53 G0 Z0", "G53 G0 X-50", at=(1, 2, 3))
    assert up.end.home == "Z" and across.end.home == "Z"
    assert math.isnan(across.end.x)


def test_incremental_distances() -> None:
    assert [(m.end.x, m.end.z) for m in moves("G91 G1 X1 Z-1", "X1", "G90 X0")] == [
        (1, -1),
        (2, -1),
        (0, -1),
    ]


def test_position_is_unknown_until_it_is_stated() -> None:
    outcome = read("G21 G0 Z5\nX1\nM2\n")
    assert outcome.value is not None
    first, second = outcome.value.motions
    assert not first.start.known and not second.end.known and second.end.z == 5


@pytest.mark.parametrize("change", ["T1 M6", "G55", "G43 H1"])
def test_position_is_forgotten_with_what_it_refers_to(change: str) -> None:
    outcome = take("G0 X1 Y1 Z1", change, "G0 X2")
    assert outcome.value is not None
    assert math.isnan(outcome.value.motions[-1].start.z)


def test_incremental_from_unknown_is_refused() -> None:
    assert read("G21 G91 G0 X1\nM2\n").value is None


def test_end_resets_but_keeps_units_and_length() -> None:
    # sec. 3.6.1
    outcome = take("G43 H3", "G55 S100 M3 M8", "M30")
    assert outcome.value is not None
    state = outcome.value.blocks[-1].state
    assert (state.work_offset, state.spindle, state.flood) == ("G54", "off", False)
    assert (state.length_offset, state.units) == (3, "mm")


def test_tool_change_stops_the_spindle_and_keeps_the_coolant() -> None:
    outcome = take("S100 M3 M8", "T2 M6")
    assert outcome.value is not None
    state = outcome.value.blocks[1].state
    assert (state.tool, state.spindle, state.flood) == (2, "off", True)


def test_dialects_take_what_the_report_does_not() -> None:
    text = "O1234\nG21 ; metric\nG0 X1 Y1 Z1 ; there (or so)\nM30\n"
    assert read(text).value is None
    taken = read(text, dialect=Dialect(semicolons=True, program_numbers=True))
    assert taken.value is not None and len(taken.value.motions) == 1


def test_tiny_program_end_to_end() -> None:
    text = "%\nN10 G21 G90\nN20 G0 X0 Y0 Z5\nN30 S500 M3\nN40 G1 Z-1 F50\nN50 G0 Z5\nN60 M30\n%\n"
    outcome = read(text)
    assert outcome.value is not None
    kinds = [m.kind for m in outcome.value.motions]
    assert kinds == ["rapid", "line", "rapid"]
    assert outcome.value.motions[1].state == State(
        motion="G1", units="mm", spindle="cw", rpm=500, feed=50
    )
    assert START.units == "mm"


def test_a_word_near_enough_to_its_code_is_found_as_that_code() -> None:
    # sec. 3.3.2.1: within 0.0001 of a whole number is that number, and the control obeys it
    program = take("T1 M6.00005", "M3.00004 S1000").value
    assert program is not None
    assert any(block.says("M", 6) for block in program.blocks)
    assert any(block.says("M", 3) for block in program.blocks)
    assert not any(block.says("M", 6.001) for block in program.blocks)
