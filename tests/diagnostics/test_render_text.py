"""Findings as people read them: every form asserted in full, as it is printed."""

import unicodedata

from findings import SOURCES, label
from hypothesis import given
from hypothesis import strategies as some

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.diagnostics.render.text import render

UNKNOWN = Diagnostic(
    code="E203",
    message="there is no tool `T3`",
    primary=label(6, 19, 21, "not among the job's tools"),
    path="passes[0].rough.tool",
    secondary=(label(2, 1, 6, "they are given here"), label(2, 1, 5, "or here", file="shop.yaml")),
    notes=("tools are named in the job, not in the crib",),
    help="did you mean `T1`?",
)


def test_a_whole_finding() -> None:
    assert render((UNKNOWN,), SOURCES) == (
        "error E203: there is no tool `T3`\n"
        "  specs/bracket.yaml:6:19  passes[0].rough.tool\n"
        "  |\n"
        "2 | tools:\n"
        "  | ----- they are given here\n"
        "  ...\n"
        "6 |   - rough: {tool: T3, to: -0.5}\n"
        "  |                   ^^ not among the job's tools\n"
        "  shop.yaml:2:1\n"
        "  |\n"
        "2 | crib: {}\n"
        "  | ---- or here\n"
        "  |\n"
        "  note: tools are named in the job, not in the crib\n"
        "  help: did you mean `T1`?\n"
        "\n"
        "1 error\n"
    )


def test_nothing_found_is_nothing_said() -> None:
    assert render((), SOURCES) == ""


def test_without_its_source_the_words_remain() -> None:
    assert render((UNKNOWN,), {}) == (
        "error E203: there is no tool `T3`\n"
        "  specs/bracket.yaml:6:19  passes[0].rough.tool\n"
        "  not among the job's tools\n"
        "  specs/bracket.yaml:2:1  they are given here\n"
        "  shop.yaml:2:1  or here\n"
        "  note: tools are named in the job, not in the crib\n"
        "  help: did you mean `T1`?\n"
        "\n"
        "1 error\n"
    )


def test_without_a_place() -> None:
    found = Diagnostic(code="E901", message="internal fault", help="report it\nwith the spec")
    assert render((found,), {}) == (
        "error E901: internal fault\n  help: report it\n        with the spec\n\n1 error\n"
    )


def test_tabs_and_wide_characters_are_aligned() -> None:
    found = Diagnostic(
        code="W101", severity=Severity.WARNING, message="odd", primary=label(4, 15, 18, "this")
    )
    lines = render((found,), SOURCES).splitlines()
    # the tab is four columns, each of the three characters two
    assert lines[3] == "4 |       T2: {crib: 望遠鏡}"
    assert lines[4] == "  |                  ^^^^^^ this"
    assert lines[3].index("望") == lines[4].index("^")


def test_combining_marks_take_no_column() -> None:
    source = "title: " + unicodedata.normalize("NFD", "é") + " x\n"
    found = Diagnostic(code="E101", message="odd", primary=label(1, 11, 12))
    lines = render((found,), {"specs/bracket.yaml": source}).splitlines()
    assert lines[4] == "  |          ^"


def test_a_stretch_over_several_lines_says_where_it_ends() -> None:
    place = Label(Span("specs/bracket.yaml", 2, 1, 4, 3), "all of it")
    lines = render((Diagnostic(code="E101", message="odd", primary=place),), SOURCES).splitlines()
    assert lines[4] == "  | ^^^^^^ all of it (to line 4)"


def test_an_empty_place_still_has_its_mark() -> None:
    at_end = Diagnostic(code="E101", message="odd", primary=label(2, 7, 7, "here"))
    assert "      ^ here" in render((at_end,), SOURCES)
    empty = Diagnostic(code="E001", message="the file is empty", primary=label(1, 1, 1))
    assert render((empty,), {"specs/bracket.yaml": ""}).splitlines()[2:5] == ["  |", "1 |", "  | ^"]


def test_two_labels_on_one_line() -> None:
    found = Diagnostic(
        code="E103",
        message="given twice",
        primary=label(6, 13, 17, "again"),
        secondary=(label(6, 5, 10, "first"),),
    )
    lines = render((found,), SOURCES).splitlines()
    assert lines[3:6] == [
        "6 |   - rough: {tool: T3, to: -0.5}",
        "  |             ^^^^ again",
        "  |     ----- first",
    ]


def test_long_lines_are_cut_round_the_mark() -> None:
    source = "a" * 300 + " oops " + "b" * 300 + "\n"
    for column, end in ((302, 306), (1, 4), (600, 607)):
        found = Diagnostic(code="E101", message="odd", primary=label(1, column, end))
        row, mark = render((found,), {"specs/bracket.yaml": source}).splitlines()[3:5]
        assert len(row) <= 100
        start, stop = mark.index("^"), mark.rindex("^") + 1
        assert row[start:stop] == source[column - 1 : end - 1]
        assert row.startswith("1 | …") == (column > 1)
        assert row.endswith("…") == (column < 600)


def test_a_mark_longer_than_the_row_is_cut() -> None:
    found = Diagnostic(code="E101", message="odd", primary=label(1, 1, 400))
    rows = render((found,), {"specs/bracket.yaml": "a" * 500}).splitlines()
    assert max(map(len, rows)) <= 100


def test_line_breaks_are_counted_as_yaml_does() -> None:
    source = "a: 1\r\nb: 2\rc: 3\x85d: 4\u2028e: 5\n"
    found = Diagnostic(code="E101", message="odd", primary=label(5, 4, 5))
    assert "5 | e: 5\n  |    ^" in render((found,), {"specs/bracket.yaml": source})


def test_no_text_of_a_spec_reaches_the_terminal_as_a_control() -> None:
    hostile = "title: \x1b[31mred\x1b[0m \u202eflip\x07\n"
    found = Diagnostic(
        code="E101",
        message="odd \x1b]0;title\x07\nerror E999: forged",
        primary=label(1, 8, 9, "\x1b[2J\nforged"),
        path="\x1b[A",
        help="\x9b1m",
    )
    text = render((found,), {"specs/bracket.yaml": hostile})
    assert not any(c in text for c in "\x1b\x07\x9b\u202e")
    assert text.splitlines()[0].endswith("error E999: forged")
    assert not any(line.startswith("forged") for line in text.splitlines())


def test_the_first_twenty_of_a_code() -> None:
    many = tuple(Diagnostic(code="E101", message=f"number {at}") for at in range(33))
    one = Diagnostic(code="W101", message="other", severity=Severity.WARNING)
    text = render((*many, one), {})
    assert text.count("error E101") == 20
    assert "number 19\n\n... and 13 more of E101\n\nwarning W101: other\n" in text
    assert text.endswith("\n33 errors, 1 warning\n")


def test_exactly_twenty_are_all_shown() -> None:
    text = render(tuple(Diagnostic(code="E101", message=str(at)) for at in range(20)), {})
    assert text.count("E101") == 20 and "more of" not in text


def test_colour_only_when_asked() -> None:
    plain, coloured = render((UNKNOWN,), SOURCES), render((UNKNOWN,), SOURCES, colour=True)
    assert "\x1b" not in plain
    assert coloured.startswith("\x1b[1;31merror E203\x1b[0m: ")
    stripped = coloured
    while "\x1b" in stripped:
        start = stripped.index("\x1b")
        stripped = stripped[:start] + stripped[stripped.index("m", start) + 1 :]
    assert stripped == plain


@given(
    some.text(max_size=300),
    some.integers(1, 12),
    some.integers(1, 310),
    some.integers(0, 5),
    some.integers(0, 310),
)
def test_any_text_and_place_can_be_printed(
    source: str, line: int, column: int, further: int, length: int
) -> None:
    place = Label(Span("a.yaml", line, column, line + further, column + length), "here")
    text = render((Diagnostic(code="E101", message="odd", primary=place),), {"a.yaml": source})
    assert text.startswith("error E101: odd\n")
    assert text.endswith("1 error\n")
