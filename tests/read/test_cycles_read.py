"""Drilling cycles as the moves they stand for. Source: NISTIR 6556 sec. 3.5.16 and app. C.3."""

from __future__ import annotations

import pytest
from reading import moves, take

from compiler.read import Dialect, Motion, read


def ends(motions: tuple[Motion, ...]) -> list[tuple[str, float, float, float]]:
    return [(m.kind, round(m.end.x, 9), round(m.end.y, 9), round(m.end.z, 9)) for m in motions]


def test_absolute_example() -> None:
    # sec. 3.5.16.2: four moves, ending at the old Z under G98
    assert ends(moves("G90 G81 G98 X4 Y5 Z1.5 R2.8", at=(1, 2, 3))) == [
        ("rapid", 4, 5, 3),
        ("rapid", 4, 5, 2.8),
        ("line", 4, 5, 1.5),
        ("rapid", 4, 5, 3),
    ]


def test_g99_returns_to_r() -> None:
    assert ends(moves("G99 G81 X4 Y5 Z1.5 R2.8", at=(1, 2, 3)))[-1] == ("rapid", 4, 5, 2.8)


def test_incremental_example_with_repeats() -> None:
    # sec. 3.5.16.2: holes at (5,7), (9,12), (13,17); bottom 4.2, clear 4.8
    found = ends(moves("G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3", at=(1, 2, 3)))
    assert found[0] == ("rapid", 1, 2, 4.8)
    assert [m[1:3] for m in found if m[0] == "line"] == [(5, 7), (9, 12), (13, 17)]
    assert {m[3] for m in found if m[0] == "line"} == {4.2}
    assert found[-1] == ("rapid", 13, 17, 4.8)


def test_pecks() -> None:
    # app. C.3: R0.2 Z-1.1 Q0.21 is 1.3 deep, 7 pecks
    found = moves("G83 X0 R0.2 Z-1.1 Q0.21", at=(0, 0, 1))
    fed = [m for m in found if m.kind == "line"]
    assert len(fed) == 7
    assert fed[-1].end.z == pytest.approx(-1.1)
    assert all(m.end.z >= -1.1 for m in found)
    # each peck but the last one is followed by a way fully out
    assert sum(m.kind == "rapid" and m.end.z == 0.2 for m in found) >= 6


def test_dwell_at_depth_is_counted() -> None:
    outcome = take("G82 X1 Z-1 R1 P0.5", at=(0, 0, 2))
    assert outcome.value is not None
    assert outcome.value.blocks[0].dwell == 0.5


def test_words_stick_within_a_cycle() -> None:
    found = moves("G81 X1 Y1 Z-1 R1", "X2", "X3 Z-2", "G80", "G0 Z5", at=(0, 0, 2))
    fed = [(m.end.x, m.end.z) for m in found if m.kind == "line"]
    assert fed == [(1, -1), (2, -1), (3, -2)]


def test_a_cycle_needs_its_height_anew_after_g80() -> None:
    outcome = take("G81 X1 Z-1 R1", "G80", "G81 X2 Z-1", at=(0, 0, 2))
    assert outcome.value is None


def of(text: str, **dialect: object) -> tuple[Motion, ...]:
    outcome = read(
        f"G21 G90 G94\nF100\nG0 X0 Y0\nZ1\n{text}\nM30\n",
        dialect=Dialect(**dialect),  # type: ignore[arg-type]
    )
    assert outcome.value is not None, outcome.findings[0].message
    return outcome.value.motions[2:]


def test_chip_breaking_backs_off_a_little_by_rapid_where_the_control_has_it() -> None:
    # G73 is not in NISTIR 6556: common practice, no source
    found = ends(of("G98 G73 X5 Y0 Z-3 R0 Q2", chip_breaking=True))
    assert found == [
        ("rapid", 5, 0, 1),
        ("rapid", 5, 0, 0),
        ("line", 5, 0, -2),
        ("rapid", 5, 0, -1.746),
        ("line", 5, 0, -3),
        ("rapid", 5, 0, 1),
    ]
    assert "G73" in read("G21\nF1\nG73 X1 Z-1 R1 Q1\nM30\n").findings[0].message


@pytest.mark.parametrize(
    ("form", "line", "seconds"),
    [
        ("p_seconds", "G4 P0.5", 0.5),
        ("p_milliseconds", "G4 P500", 0.5),
        ("x_seconds", "G4 X0.5", 0.5),
        ("p_milliseconds", "G82 X1 Y0 Z-1 R0 P250", 0.25),
    ],
)
def test_a_dwell_is_read_in_the_control_s_own_form(form: str, line: str, seconds: float) -> None:
    text = f"G21 G90 G94\nF100\nG0 X0 Y0\nZ1\n{line}\nM30\n"
    outcome = read(text, dialect=Dialect(dwell=form))  # type: ignore[arg-type]
    assert outcome.value is not None, outcome.findings
    assert sum(block.dwell for block in outcome.value.blocks) == pytest.approx(seconds)


def test_a_dwell_in_another_form_than_the_control_s_is_refused() -> None:
    for form, line in (
        ("x_seconds", "G4 P1"),
        ("x_seconds", "G82 X1 Z-1 R0 P1"),
        ("p_seconds", "G4 X1"),
    ):
        text = f"G21 G90 G94\nF100\nG0 X0 Y0\nZ1\n{line}\nM30\n"
        outcome = read(text, dialect=Dialect(dwell=form))  # type: ignore[arg-type]
        assert outcome.value is None
