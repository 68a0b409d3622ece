"""Which planned block a refused text lacks; a deleted line is its own answer."""

from compiler.commands.lost_blocks import lost_before

PLANNED = [f"N{10 * k} G1 X{k}. F100" for k in range(1, 90)]


def test_the_deleted_line_is_named_whatever_the_numbers() -> None:
    text = [line.split(" ", 1)[1] for line in PLANNED]
    gone = text.pop(49)
    told = lost_before(PLANNED, text, 50)
    assert gone in told and told.startswith("the planned program has `N500 ")


def test_nothing_is_missed_where_nothing_is_lost() -> None:
    assert lost_before(PLANNED, PLANNED, 50) == ""
    edited = [line.replace("F100", "F90") for line in PLANNED]
    assert lost_before(PLANNED, edited, 50) == ""
    assert lost_before((), PLANNED, 50) == ""
