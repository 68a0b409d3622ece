"""Every documented error case that a program text can provoke is refused, with its reason.

Source: T. R. Kramer, F. M. Proctor, E. Messina, "The NIST RS274NGC Interpreter - Version 3",
NISTIR 6556 (2000), sections 3.3 to 3.5 and the interpreter's list of error messages. The numbers
are those of that list; the test blocks are ours.
"""

from __future__ import annotations

import pytest
from reading import refusal, take

from compiler.read import read

# (number in the list, block, a word of the reason)
TABLE = [
    ("5", "G92", "G92"),
    ("6", "G1", "no axis word"),
    ("7", "G2 X10 R4", "too small"),
    ("12", "G1 X1$", "`$`"),
    ("14", "G1 X.", "no number follows `X`"),
    ("134", "G1 X-", "no number follows `X`"),
    ("41", "F0 G1 X1", "feed is zero"),
    ("43", "F0 G2 X1 I0.5", "feed is zero"),
    ("42", "G81 X1 Z-1 R1 L0", "below 1"),
    ("56", "G80 X1", "G80"),
    ("63", "G10 L2 P1 X1 G1 Y1", "G10"),
    ("61", "G91 G53 G0 X1", "G91"),
    ("120", "G2 G53 X1 I1", "`I`|without G0"),
    ("66", "G1 X1 (" + "A" * 300 + ")", "characters"),
    ("69", "G2 X0 Y0 R5", "end elsewhere"),
    ("71", "G1 X1 D1", "nothing in the block uses `D`"),
    ("85", "G1 X1 H1", "nothing in the block uses `H`"),
    ("72", "G4", "needs `P`"),
    ("73", "G82 X1 Z-1 R1", "needs `P`"),
    ("77", "#1 5", "parameter"),
    ("142", "#5400=1", "parameter"),
    ("79", "G93 G2 X1 I0.5", "inverse time"),
    ("78", "G93 G1 X1", "inverse time"),
    ("84", "G100", "no code"),
    ("173", "G5", "no code"),
    ("124", "G-1", "no code"),
    ("100", "M100", "no code"),
    ("174", "M10", "no code"),
    ("127", "M-1", "below 0"),
    ("92", "G17 G2 X1 K1", "`K`"),
    ("88", "G1 X1 I1", "uses `I`"),
    ("91", "G1 X1 J1", "uses `J`"),
    ("94", "G1 X1 K1", "uses `K`"),
    ("95", "G1 X1 L1", "uses `L`"),
    ("140", "G1 X1 P1", "uses `P`"),
    ("144", "G1 X1 Q1", "uses `Q`"),
    ("151", "G1 X1 R2", "uses `R`"),
    ("98", "N100000 G0 X1", "five digits"),
    ("98b", "N000009 G0 X1", "five digits"),
    ("99", "G10 P1 X0", "G10"),
    ("138", "G10 L2 P1.5 X0", "G10"),
    ("139", "G10 L2 P0 X0", "G10"),
    ("101", "G2 X1 I1 R1", "`R` and `I`"),
    ("102", "G1 X1 X2", "stands twice"),
    *((f"102-119 {a}", f"{a}1 {a}2", f"`{a}` stands twice") for a in "DFHIJKLPQRSTXYZ"),
    ("123", "F-1", "`F` is negative"),
    ("125", "G43 H-1", "below 0"),
    ("129", "G4 P-1", "`P` is negative"),
    ("130", "S-1", "`S` is negative"),
    ("131", "T-1", "below 0"),
    ("122", "G41 D-1", "below 0"),
    ("126", "G81 X1 Z-1 R1 L-1", "below 1"),
    ("129b", "G82 X1 Z-1 R1 P-1", "`P` is negative"),
    ("128", "G83 X1 Z-1 R1 Q-1", "above zero"),
    ("143", "G83 X1 Z-1 R1", "needs `Q`"),
    ("132", "(a (b) c)", "inside a comment"),
    ("171", "(a", "not closed"),
    ("135", "T1.5 M6", "whole number"),
    ("137", "G43", "needs `H`"),
    ("146", "G81 X1 Z-1", "needs `R`"),
    ("195", "G81 X1 R1", "needs `Z`"),
    ("150", "G81 X1 Z2 R1", "below"),
    ("147", "G2 X1", "needs `I` or `J`"),
    ("189", "G2 I1", "needs `X` or `Y`"),
    ("152", "G2 X10.006 Y0 I5 J0", "radii"),
    ("163", "M0 M6 M3 M7 M48", "more than 4"),
    ("162, 44, 47-49", "G38.2 X1", "G38.2"),
    ("166", "G41 D99 X1", "D99"),
    ("168", "G0 G1 X1", "exclude each other"),
    ("169", "M3 M4", "exclude each other"),
    ("197", "G2 X0 Y0 I0 J0", "radius is zero"),
    ("10", "G1 X[1/0]", "expression"),
    ("172", "G1 X[1+2", "expression"),
    ("9", "G1 XACOS[2]", "no number follows `X`"),
    ("121", "G1 XLN[0]", "no number follows `X`"),
    ("196", "G1 XSQRT[-1]", "no number follows `X`"),
    ("53", "G18 G41 D1", "G18"),
    ("54", "G41 D1", "G41"),
    ("3.3.1", "G1 NX1", "no number"),
    ("3.3.2.1", "G1 X1E3", "no number follows `E`|no word"),
]
# In the language, but the text alone does not say what they do: refused by name.
BY_NAME = [
    ("G18", "G18"),
    ("G19", "G19"),
    ("G41 D1 X1", "G41"),
    ("G42 D1 X1", "G42"),
    ("G38.2 X1", "G38.2"),
    ("G84 X1 Z-1 R1", "G84"),
    ("G85 X1 Z-1 R1", "G85"),
    ("G86 X1 Z-1 R1 P1", "G86"),
    ("G87 X1 Z-1 R1 I1 J1 K1", "G87"),
    ("G88 X1 Z-1 R1 P1", "G88"),
    ("G89 X1 Z-1 R1 P1", "G89"),
    ("G92 X7", "G92"),
    ("G92.1", "G92.1"),
    ("G1 X#5", "parameter"),
    ("G1 A90", "rotary"),
    ("/G1 X1", "skipped"),
    ("G90.1", "G90.1"),  # not in the report at all, sec. 3.5
    ("G91.1", "G91.1"),
    ("G95", "G95"),
    ("G1 U1", "`U`"),
    ("O1000", "`O`"),
    ("G1 X1 ; aside", "`;`"),
    ("G53 G1 X1", "machine coordinates"),
    ("M60", "M60"),
    ("G2 X10 \u01315", "\u0131"),  # a dotless i, whose capital is I
    ("G1\0X1", "NUL"),
]


@pytest.mark.parametrize(("number", "block", "reason"), TABLE, ids=[row[0] for row in TABLE])
def test_documented_errors_are_refused(number: str, block: str, reason: str) -> None:
    message = refusal(block)
    assert any(part in message for part in reason.split("|")), message


def test_radius_too_small_has_no_length_tolerance() -> None:
    # the interpreter's own source allows a part in 1e12 and no more
    assert "too small" in refusal("G2 X10 R4.9999")


def test_g53_without_a_straight_motion_in_force() -> None:
    assert "without G0 or G1" in refusal("G80", "G53 X1")


def test_axis_words_that_nothing_uses() -> None:
    assert "no motion is in force" in refusal("G80", "X1")  # error 57


@pytest.mark.parametrize(("block", "name"), BY_NAME, ids=[row[0] for row in BY_NAME])
def test_what_is_not_in_the_text_is_refused_by_name(block: str, name: str) -> None:
    assert name in refusal(block)


def test_percent_must_be_closed() -> None:
    # errors 80 and 81; sec. 3.1
    assert "no second one" in read("%\nG21\n").findings[0].message
    assert "does not end" in read("G21\n").findings[0].message
    assert read("%\nG21\n%\nG999\n").value is not None
    assert read("G21\nM2\nG999\n").value is not None


def test_units_must_be_stated_before_lengths() -> None:
    assert "units" in read("G0 X1\nM2\n").findings[0].message


def test_refusal_names_line_and_block() -> None:
    found = take("G0 X1", "G1 Y2", "G1 X1 X2").findings[0]
    assert dict(found.data)["line"] == 3.0
    assert found.primary is not None and found.primary.span.line == 3
    assert "G1 X1 X2" in found.notes[0]


@pytest.mark.parametrize(
    "block",
    [
        "N5 G1 X1",
        "G1 X1 (MSG, hello)",
        "G4 P0.5",
        "G2 X10 Y0.006 I5 J0",  # 3.6e-6 off: within 0.002 mm, sec. 3.5.3.2
        "G1 X1.00000000001",
        "T1.00001 M6",  # within 0.0001 of a whole number, sec. 3.3.2.1
        "M48",
        "G61 G1 X1",
        "G59.3",
        "G1 X+.5 Y-5.",
    ],
)
def test_what_the_report_allows_is_taken(block: str) -> None:
    assert take(block).value is not None
