"""Small programs, whole and by rule."""

import math
import re
from dataclasses import replace

import pytest
from small_job import job, motions, operation, path, plan, tool

from compiler.geometry import Point
from compiler.motion import OperationPath, Point3, Rapid, Role, Straight, Turn
from compiler.write import write

LAP = (
    Rapid(Point3(-10, 10, 5)),
    Rapid(Point3(-10, 10, 1.3)),
    Straight(Point3(-10, 10, -5), 300, Role.PLUNGE),
    Straight(Point3(20, 10, -5), 900, Role.CUT),
    Turn(Point3(20, 30, -5), Point(20, 20), True, 900, Role.CUT),
    Straight(Point3(-20, 30, -5), 700, Role.CUT),
    Rapid(Point3(-20, 30, 5)),
)

GOLDEN = """\
G17 G21 G40 G49 G80 G90 G94
G54
T1 M6
G17 G21 G40 G49 G80 G90 G94
G54
S6000 M3
M8
G0 G43 H1 Z55.0
X-10.0 Y10.0
Z5.0
Z1.3
G1 Z-5.0 F300.0
X20.0 F900.0
G3 X20.0 Y30.0 I0.0 J10.0
G1 X-20.0 F700.0
G0 Z5.0
G0 Z55.0
M9
M5
M30
"""


def lap(**over: object) -> OperationPath:
    return path(*LAP, **over)


def text(*paths: OperationPath, units: str = "mm", **style: object) -> str:
    tools = (tool(), tool("T2", 2, 6.0))
    operations = (operation("rough"), operation("rest", "T2"), operation("floor"))
    return write(
        job=job(units=units, tools=tools, **style),
        plan=plan(*operations, units=units),
        motions=motions(*(paths or (lap(),))),
    ).text


def rows(*paths: OperationPath, **style: object) -> list[str]:
    style = {"comments": "none", **style}
    return text(*paths, **style).splitlines()


def test_a_small_program_whole():
    assert text(comments="none") == GOLDEN


def test_each_line_has_its_owner():
    made = write(job=job(), plan=plan(), motions=motions(lap()))
    lines = made.text.splitlines()
    assert len(lines) == len(made.line_owner)
    owned = [line for line, owner in zip(lines, made.line_owner, strict=True) if owner == "rough"]
    assert owned[0].startswith("(operation rough")
    assert "G3 X20.0 Y30.0 I0.0 J10.0" in owned
    assert "M30" not in owned
    assert made.line_owner[-1] is None


def test_the_same_values_give_the_same_bytes():
    assert text() == text()


def test_inches_are_inches():
    lines = rows(units="inch")
    assert lines[0] == "G17 G20 G40 G49 G80 G90 G94"
    assert "G3 X0.7874 Y1.1811 I0.0 J0.3937" in lines
    assert "X0.7874 F35.43" in lines


def test_a_tool_change_states_everything_again():
    lines = rows(lap(), lap(operation_id="rest", tool_name="T2", rpm=7000.0, coolant="none"))
    at = lines.index("T2 M6")
    assert lines[at - 5 : at] == ["G0 Z5.0", "G0 Z55.0", "M9", "M5", "M1"]
    assert lines[at + 1 : at + 6] == [
        "G17 G21 G40 G49 G80 G90 G94",
        "G54",
        "S7000 M3",
        "M9",
        "G0 G43 H2 Z55.0",
    ]
    assert lines[at + 6 : at + 8] == ["X-10.0 Y10.0", "Z5.0"]
    assert "G1 Z-5.0 F300.0" in lines[at:]


def test_an_operation_with_the_same_tool_states_its_words_again():
    lines = rows(lap(), lap(operation_id="floor"))
    assert lines.count("T1 M6") == 1
    assert lines.count("G1 Z-5.0 F300.0") == 2
    assert lines.count("X-10.0 Y10.0") == 2
    assert lines.count("S6000 M3") == 1


def test_a_new_speed_is_stated_without_a_tool_change():
    lines = rows(lap(), lap(operation_id="floor", rpm=5000.4, coolant="mist"))
    assert "S5000 M3" in lines
    assert "M7" in lines


def test_a_stop_comes_with_the_spindle_at_rest_and_starts_again():
    lines = rows(lap(), lap(operation_id="floor", stop_before=True))
    at = lines.index("M0")
    assert lines[at - 3 : at] == ["G0 Z55.0", "M9", "M5"]
    assert lines[at + 1 : at + 6] == ["S6000 M3", "M8", "G0 Z55.0", "X-10.0 Y10.0", "Z5.0"]


def test_no_length_offset_where_the_control_has_none():
    assert not any("G43" in line or "H1" in line for line in rows(length_offset=False))


def test_line_numbers_rise_and_stay_within_five_digits():
    long = [Straight(Point3(i % 7 + 0.5, i % 5, -5), 900, Role.CUT) for i in range(12_000)]
    for moves in (LAP, (*LAP[:3], *long, LAP[-1])):
        numbers = [
            int(m[1])
            for r in rows(path(*moves), line_numbers=True)
            if (m := re.match(r"N(\d+) ", r))
        ]
        assert numbers == sorted(set(numbers))
        assert 0 < numbers[0] <= numbers[-1] <= 99_999


def test_line_numbers_start_again_rather_than_grow_a_sixth_digit():
    """NISTIR 6556 sec. 3.3.1: at most five digits; they may repeat."""
    long = [Straight(Point3(i % 2, i % 3, -5), 900, Role.CUT) for i in range(100_500)]
    lines = rows(path(*LAP[:3], *long, LAP[-1]), line_numbers=True)
    assert all(re.match(r"N\d{1,5} ", line) for line in lines)


def test_iso_6983_stands_between_percent_lines_and_splits_full_turns():
    full = Turn(Point3(20, 10, -5), Point(20, 20), True, 900, Role.CUT)
    lines = rows(path(*LAP[:4], full, *LAP[4:]), standard="iso6983", program_number=12)
    assert lines[0] == "%" == lines[-1]
    assert lines[1] == "O0012"
    assert lines.count("G3 X20.0 Y30.0 I0.0 J10.0") == 2
    assert "G3 X20.0 Y10.0 I0.0 J-10.0" in lines


def test_a_full_turn_writes_x_and_y():
    """NISTIR 6556 sec. 3.5.3.2: X or Y must be there, even where the arc ends where it starts."""
    full = Turn(Point3(20, 10, -5), Point(20, 20), False, 900, Role.CUT)
    assert "G2 X20.0 Y10.0 I0.0 J10.0" in rows(path(*LAP[:4], full, *LAP[4:]))


def test_radius_words_never_near_a_half_turn():
    """NISTIR 6556 sec. 3.5.3.1 advises up to 165 degrees; R below half the chord fails."""
    full = Turn(Point3(20, 10, -5), Point(20, 20), True, 900, Role.CUT)
    lines = rows(path(*LAP[:4], full, *LAP[4:]), arcs="radius")
    x, y, seen = 0.0, 0.0, 0
    for line in lines:
        words = {w[0]: float(w[1:]) for w in line.split() if w[0] in "XYRIJ"}
        assert "I" not in words
        nx, ny = words.get("X", x), words.get("Y", y)
        if "R" in words:
            seen += 1
            half = math.hypot(nx - x, ny - y) / 2
            assert half < words["R"]
            assert 2 * math.asin(half / words["R"]) <= math.radians(165)
        x, y = nx, ny
    assert seen == 3 + 2


def test_a_helix_goes_down_evenly_where_it_is_split():
    down = Turn(Point3(20, 10, -8), Point(20, 20), True, 300, Role.RAMP)
    lines = rows(path(*LAP[:4], down, *LAP[4:]), standard="iso6983")
    assert "G3 X20.0 Y30.0 Z-6.5 I0.0 J10.0 F300.0" in lines
    assert "G3 X20.0 Y10.0 Z-8.0 I0.0 J-10.0" in lines


def test_a_slanting_rapid_goes_the_higher_way():
    moves = (Rapid(Point3(0, 0, 5)), Rapid(Point3(30, 0, 9)), Rapid(Point3(40, 0, 5)))
    lines = rows(path(*moves))
    at = lines.index("X0.0 Y0.0")
    assert lines[at + 1 : at + 6] == ["Z5.0", "Z9.0", "X30.0", "X40.0", "Z5.0"]


def test_points_that_touch_an_arc_have_its_decimals():
    moves = (
        Rapid(Point3(1.23456, 0, 5)),
        Straight(Point3(1.23456, 0, -5), 300, Role.PLUNGE),
        Turn(Point3(3.23456, 2, -5), Point(1.23456, 2), True, 900, Role.CUT),
        Straight(Point3(9.87654, 2, -5), 900, Role.CUT),
        Rapid(Point3(9.87654, 2, 5)),
    )
    lines = rows(path(*moves))
    assert "X1.2346 Y0.0" in lines
    assert "G1 X9.877" in lines


@pytest.mark.parametrize("opening", [("G64",), ("G64\nG61",)])
def test_the_shops_own_blocks_stand_before_the_safe_start(opening):
    lines = rows(opening=opening, closing=("G53 G0 Z0",))
    assert lines[0] == "G64"
    assert lines.index("G17 G21 G40 G49 G80 G90 G94") >= 1
    assert lines[-3:] == ["M5", "G53 G0 Z0", "M30"]


def test_lines_stay_within_the_controls_limit():
    turn = Turn(Point3(-120.12345, 310.98765, -15.5), Point(-20.3, 20.7), True, 912.3, Role.CUT)
    radius = math.hypot(-120.12345 + 20.3, 310.98765 - 20.7)
    begin = Straight(Point3(-20.3 + radius, 20.7, -5), 900, Role.CUT)
    for limit in (60, 80, 300):
        lines = rows(path(*LAP[:3], begin, turn, LAP[-1]), max_line_length=limit, line_numbers=True)
        assert max(map(len, lines)) <= min(limit, 256)


def test_words_keep_the_rules_of_a_block():
    """NISTIR 6556 sec. 3.3.5: a letter once, one of each modal group, at most four M words."""
    groups = [{"G0", "G1", "G2", "G3", "G80"}, {"G20", "G21"}, {"G43", "G49"}, {"M3", "M5"}]
    for line in rows(lap(), lap(operation_id="rest", tool_name="T2")):
        words = line.split()
        letters = [w[0] for w in words if w[0] not in "GM"]
        assert len(letters) == len(set(letters))
        for group in groups:
            assert sum(word in group for word in words) <= 1
        assert sum(word[0] == "M" for word in words) <= 4


def test_tools_are_changed_as_high_as_the_travel_allows():
    """Up first, then across, then down to clearance; a low gantry gets what room it has."""
    for z, height in ((40.0, "Z35.0"), (8.0, "Z5.0"), (500.0, "Z55.0")):
        # clearance is 5, the lowest cut -5: of 40 mm of travel 30 are left above clearance
        said = job()
        said = replace(said, machine=replace(said.machine, travel=(500.0, 400.0, z)))
        made = write(job=said, plan=plan(), motions=motions(lap())).text.splitlines()
        assert f"G0 G43 H1 {height}" in made
        assert made[-5:] == ["(end)", f"G0 {height}", "M9", "M5", "M30"]


def test_a_helix_as_ramps_keeps_to_its_circle_and_ends_where_it_should():
    """Chords of 15 degrees: 24 to a turn, each corner on the circle (plane geometry)."""
    turn = Turn(Point3(10, 10, -2), Point(6, 10), True, 300, Role.RAMP)
    lines = rows(
        path(
            Rapid(Point3(10, 10, 5)), Straight(Point3(10, 10, 0), 300, Role.PLUNGE), turn, LAP[-1]
        ),
        helices="lines",
    )
    assert not any(re.match(r"G[23] ", line) for line in lines)
    at = {"X": 10.0, "Y": 10.0, "Z": 0.0}
    corners = []
    first = next(k for k, line in enumerate(lines) if line.startswith("G1 Z0.0"))
    for line in lines[first + 1 : first + 25]:
        at.update({word[0]: float(word[1:]) for word in line.split() if word[0] in "XYZ"})
        corners.append(dict(at))
    assert len(corners) == 24 and corners[-1] == {"X": 10.0, "Y": 10.0, "Z": -2.0}
    for k, corner in enumerate(corners, start=1):
        assert math.hypot(corner["X"] - 6, corner["Y"] - 10) == pytest.approx(4, abs=2e-4)
        assert corner["Z"] == pytest.approx(-2 * k / 24, abs=6e-4)
