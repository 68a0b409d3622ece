"""What is written is what the reader, which shares no code with the writer, reads."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_job import job, motions, operation, path, plan, tool

from compiler.geometry import Point
from compiler.motion import Point3, Rapid, Role, Straight, Turn
from compiler.read import Dialect, Motion, read
from compiler.write import write

STYLES = [
    {},
    {"arcs": "radius"},
    {"standard": "iso6983"},
    {"comments": "semicolon", "line_numbers": True},
    {"program_number": 7, "max_line_length": 60},
]


@st.composite
def walks(draw):
    """Down, a run of lines, arcs and helices, up: in places that no decimal holds exactly."""
    number = st.floats(-80, 80)
    here = Point3(draw(number), draw(number), 5.0)
    moves = [Rapid(here), Straight(Point3(here.x, here.y, -3.0), 250.0, Role.PLUNGE)]
    x, y, z = here.x, here.y, -3.0
    for _ in range(draw(st.integers(1, 8))):
        if draw(st.booleans()):
            x, y = draw(number), draw(number)
            moves.append(Straight(Point3(x, y, z), draw(st.floats(20, 5000)), Role.CUT))
            continue
        centre = Point(x + draw(st.floats(1, 40)), y + draw(st.floats(-40, 40)))
        radius = math.hypot(x - centre.x, y - centre.y)
        start = math.atan2(y - centre.y, x - centre.x)
        sweep = draw(st.sampled_from([0.01, 0.5, math.pi, 3.3, 6.2, math.tau]))
        ccw = draw(st.booleans())
        if sweep < math.tau:
            end = start + (sweep if ccw else -sweep)
            x, y = centre.x + radius * math.cos(end), centre.y + radius * math.sin(end)
        z -= draw(st.sampled_from([0.0, 0.4]))
        moves.append(Turn(Point3(x, y, z), centre, ccw, 900.0, Role.CUT))
    return (*moves, Rapid(Point3(x, y, 5.0)))


def tip(motion: Motion, t: float) -> Point3:
    """The tip a fraction along a motion that was read."""
    a, b = motion.start, motion.end
    z = a.z + t * (b.z - a.z)
    if motion.centre is None:
        return Point3(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), z)
    arm = a.xy.minus(motion.centre)
    angle = math.atan2(arm.y, arm.x) + t * motion.sweep
    return Point3(
        motion.centre.x + motion.radius * math.cos(angle),
        motion.centre.y + motion.radius * math.sin(angle),
        z,
    )


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("style", STYLES)
@given(walks())
def test_the_text_read_back_runs_where_the_motions_ran(style, units, moves):
    made = write(
        job=job(units=units, **style), plan=plan(units=units), motions=motions(path(*moves))
    )
    dialect = Dialect(
        semicolons=style.get("comments") == "semicolon", program_numbers="program_number" in style
    )
    outcome = read(made.text, dialect=dialect)
    assert outcome.value is not None, outcome.findings
    fed = [m for m in outcome.value.motions if m.kind != "rapid"]
    planned = [m for m in moves if not isinstance(m, Rapid)]
    half = 0.00051 if units == "mm" else 0.000051 * 25.4
    # a move shorter than a step of the last decimal is none; a full turn is one
    still = sum(
        isinstance(b, Straight) and math.dist(_triple(a.to), _triple(b.to)) <= 2 * half
        for a, b in pairwise(moves)
    )
    assert len(fed) >= len(planned) - still
    assert math.dist((fed[-1].end.x, fed[-1].end.y), moves[-1].to.xy) <= 1.5 * half
    for move in planned:
        reached = min(math.dist((m.end.x, m.end.y, m.end.z), _triple(move.to)) for m in fed)
        assert reached <= 1.8 * half
        if isinstance(move, Turn):
            _on_its_circle(move, fed, half)


def _triple(place: Point3) -> tuple[float, float, float]:
    return (place.x, place.y, place.z)


def _on_its_circle(move: Turn, fed: list[Motion], half: float) -> None:
    """Some motion that ends where the arc ends runs along its circle, and the same way round."""
    ending = [m for m in fed if math.dist((m.end.x, m.end.y), move.to.xy) <= 1.5 * half]
    radius = math.hypot(move.to.x - move.centre.x, move.to.y - move.centre.y)
    for motion in ending:
        if motion.centre is not None and motion.ccw != move.ccw:
            continue
        off = [abs(tip(motion, t).xy.distance(move.centre) - radius) for t in (0.25, 0.5, 0.75)]
        if max(off) <= 6 * half:
            return
    raise AssertionError(f"nothing runs along {move}")


def test_two_tools_read_back_with_their_state():
    moves = (
        Rapid(Point3(0, 0, 5)),
        Straight(Point3(0, 0, -1), 300, Role.PLUNGE),
        Straight(Point3(10, 0, -1), 900, Role.CUT),
        Rapid(Point3(10, 0, 5)),
    )
    made = write(
        job=job(tools=(tool(), tool("T2", 2, 6.0))),
        plan=plan(operation("rough"), operation("rest", "T2")),
        motions=motions(
            path(*moves), path(*moves, operation_id="rest", tool_name="T2", rpm=7000.0)
        ),
    )
    program = read(made.text).value
    assert program is not None and program.ended
    cuts = [m for m in program.motions if m.kind == "line"]
    assert [m.state.tool for m in cuts] == [1, 1, 2, 2]
    assert [m.state.length_offset for m in cuts] == [1, 1, 2, 2]
    assert [m.state.rpm for m in cuts] == [6000, 6000, 7000, 7000]
    assert all(m.state.spindle == "cw" and m.state.flood for m in cuts)
    assert [m.state.feed for m in cuts] == [300, 900, 300, 900]
    owners = [made.line_owner[m.line - 1] for m in cuts]
    assert owners == ["rough", "rough", "rest", "rest"]
