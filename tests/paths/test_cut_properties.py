"""What must hold for any job's motions, whatever the pattern: asked of a raster and of exact
distances, not of the planner's own sets."""

from __future__ import annotations

import math

import numpy as np
import pytest
from heights import PITCH, replay, segments
from planning_bench import Keep, a_pass, bench, block, disc, end_mill, with_holes

from compiler.geometry import Arc, Line, Region
from compiler.geometry.distance import Clearance
from compiler.geometry.inside import contains_many
from compiler.geometry.offset import grow
from compiler.job.model import Job
from compiler.motion import Motions, Rapid, Role, Turn
from compiler.part.model import Part
from compiler.paths.cut import cut
from compiler.plan.lower import lower

BRACKET = {
    "boss": disc(30, 35, 15),
    "lug": Keep(block(58, 20, 84, 50, 6), top=-2.0),
    "rail": Keep(block(95, -130, 230, 200), is_open=True),
}
RING = {"ring": with_holes(block(15, 10, 85, 60, 6), disc(40, 35, 14), block(60, 20, 78, 50, 6))}
PADS = {
    "plate": Keep(block(15, 12, 85, 58, 8), top=-3.0),
    "pad": block(15, 25, 35, 45, 0),
    "post": disc(65, 35, 7),
}


def job_of(keep, pattern: str, **keys) -> tuple[Job, Part]:
    passes = [
        a_pass("rough", to=-6.0, pattern=pattern, **keys),
        a_pass("finish_floor", pattern=pattern),
        a_pass("finish_walls", spring_passes=1),
    ]
    return bench(keep, passes)


PATTERNS: dict[str, tuple[tuple[str, dict[str, str]], ...]] = {
    "bracket": (("contour_parallel", {}), ("direction_parallel", {"direction": "climb"})),
    "ring": (("contour_parallel", {"direction": "conventional"}), ("direction_parallel", {})),
    "pads": (("contour_parallel", {}), ("direction_parallel", {})),
}
CASES = {
    f"{name} {pattern}{' ' + str(keys['direction']) if keys else ''}": (keep, pattern, keys)
    for name, keep in (("bracket", BRACKET), ("ring", RING), ("pads", PADS))
    for pattern, keys in PATTERNS[name]
}


def motions_of(job: Job, part: Part) -> Motions:
    plan = lower(job, part)
    assert plan.value is not None, plan.findings
    outcome = cut(job, part, plan.value)
    assert outcome.value is not None, outcome.findings
    return outcome.value


@pytest.fixture(scope="module", params=list(CASES))
def cut_job(request: pytest.FixtureRequest) -> tuple[Job, Part, Motions]:
    keep, pattern, keys = CASES[request.param]
    job, part = job_of(keep, pattern, **keys)
    return job, part, motions_of(job, part)


def test_no_move_enters_a_region_that_stands(cut_job) -> None:
    job, part, motions = cut_job
    clearances = {s.name: (s, Clearance(s.region)) for s in part.standing}
    for tool, move, at in segments(motions):
        if at.xy == move.to.xy and not isinstance(move, Turn):
            continue
        lowest = min(at.z, move.to.z)
        segment = (
            Arc(at.xy, move.to.xy, move.centre, move.ccw)
            if isinstance(move, Turn)
            else Line(at.xy, move.to.xy)
        )
        for region, clearance in clearances.values():
            if region.top > lowest + 1e-9:
                gap = clearance.of(segment).distance - job.tool(tool).radius
                assert gap >= -1e-6, (region.name, move, gap)


def test_the_stock_ends_as_asked(cut_job) -> None:
    """Every grid point ends at its floor, but where no cutter of this radius reaches.

    What it reaches is the opening of the free area: grown in and out again by exact offsets.
    """
    job, part, motions = cut_job
    heights, seen = replay(motions, part, {t.name: t.radius for t in job.tools})
    assert not seen.rapids and not seen.plunges and not seen.links
    xx, yy = np.meshgrid(heights.x, heights.y)
    points = np.column_stack([xx.ravel(), yy.ravel()])
    wanted = np.full(len(points), -6.0)
    unsure = np.zeros(len(points), dtype=bool)
    for top in sorted({s.top for s in part.standing}):
        standing = [s for s in part.standing if s.top >= top]
        for region in (s.region for s in standing if s.top == top):
            wanted[contains_many(region, points)] = top
        for region in [s.region for s in standing]:
            unsure |= near(region, points)
        reach = reachable_complement(standing, job.tools[0].radius)
        unsure |= contains_many(reach, points) & (wanted < top)
    difference = np.abs(heights.z.ravel() - wanted)[~unsure]
    assert difference.max() < 1e-6


def near(region: Region, points: np.ndarray) -> np.ndarray:
    """Points so near an outline that the raster cannot say on which side they are."""
    return contains_many(grow(region, PITCH), points) & ~contains_many(grow(region, -PITCH), points)


def reachable_complement(standing, radius: float) -> Region:
    """What a disc of this radius cannot sweep without touching what stands."""
    from compiler.geometry.combine import union

    return grow(grow(union(*(s.region for s in standing)), radius), -radius)


def test_paths_begin_and_end_at_clearance_and_cross_only_there(cut_job) -> None:
    _, part, motions = cut_job
    for path in motions.paths:
        assert isinstance(path.moves[0], Rapid)
        assert path.moves[0].to.z == part.clearance
        assert path.moves[-1].to.z == part.clearance
        at = path.moves[0].to
        for move in path.moves[1:]:
            if isinstance(move, Rapid) and move.to.xy != at.xy:
                assert at.z == move.to.z == part.clearance
            at = move.to


def test_arcs_end_on_their_circle(cut_job) -> None:
    *_, motions = cut_job
    for _, move, at in segments(motions):
        if isinstance(move, Turn):
            assert abs(move.centre.distance(at.xy) - move.centre.distance(move.to.xy)) < 1e-6


def test_walls_are_the_exact_offset_at_floor_height(cut_job) -> None:
    """The finishing path runs at exactly the tool's radius from the regions, arcs as arcs."""
    job, part, motions = cut_job
    clearances = [Clearance(s.region) for s in part.standing]
    radius = job.tools[0].radius
    on_wall = 0.0
    for path in motions.paths:
        if path.operation != "finish_walls":
            continue
        at = path.moves[0].to
        for move in path.moves[1:]:
            if not isinstance(move, Rapid) and move.role is Role.CUT and move.to.z < -1:
                gaps = [abs(c.of(Line(at.xy, move.to.xy)).distance - radius) for c in clearances]
                if not isinstance(move, Turn) and at.xy.distance(move.to.xy) > 1:
                    assert min(gaps) < 1e-6
                    on_wall += at.xy.distance(move.to.xy)
            at = move.to
    assert on_wall > 50 or part.standing[0].name == "boss"


def test_turning_the_job_a_quarter_turns_the_motions_volume() -> None:
    """The same job turned by 90 degrees cuts the same length but for the rows' starts."""
    from compiler.geometry.transform import turned

    lengths = []
    for angle in (0.0, math.pi / 2):
        keep = {
            "boss": turned(disc(30, 35, 15), angle),
            "lug": turned(block(58, 20, 84, 50, 6), angle),
        }
        stock = turned(block(0, 0, 100, 70), angle)
        passes = [a_pass("rough", to=-6.0, pattern="contour_parallel"), a_pass("finish_walls")]
        job, part = bench(keep, passes, stock=stock)
        motions = motions_of(job, part)
        lengths.append(sum(cutting_length(motions)))
    assert lengths[0] == pytest.approx(lengths[1], rel=0.01)


def cutting_length(motions: Motions) -> list[float]:
    found = []
    for _, move, at in segments(motions):
        if move.role is Role.CUT:
            segment = (
                Arc(at.xy, move.to.xy, move.centre, move.ccw)
                if isinstance(move, Turn)
                else Line(at.xy, move.to.xy)
            )
            found.append(segment.length)
    return found


def test_the_same_job_gives_the_same_motions() -> None:
    job, part = job_of(BRACKET, "contour_parallel")
    assert motions_of(job, part) == motions_of(job, part)


def test_a_rest_pass_cuts_only_where_the_larger_cutter_left_something() -> None:
    keep = {"frame": with_holes(block(10, 10, 90, 60), block(20, 20, 80, 50, 3))}
    passes = [
        a_pass("rough", to=-4.0, pattern="contour_parallel", wall_allowance=0.0),
        a_pass("rest", "T2", pattern="contour_parallel", wall_allowance=0.0),
    ]
    job, part = bench(keep, passes, tools=[end_mill("T1", 12.0), end_mill("T2", 6.0)])
    motions = motions_of(job, part)
    first, second = motions.paths
    corners = [(23, 23), (77, 23), (23, 47), (77, 47)]
    for move in second.moves:
        if not isinstance(move, Rapid) and move.role is Role.CUT:
            assert min(math.dist(c, (move.to.x, move.to.y)) for c in corners) < 12
    heights, _ = replay(Motions((first, second)), part, {"T1": 6.0, "T2": 3.0})
    row, column = np.searchsorted(heights.y, 21.2), np.searchsorted(heights.x, 21.2)
    assert heights.z[row, column] == -4.0


def test_adding_a_pass_never_adds_material() -> None:
    """Allowances given, every pass more leaves less or the same at every place of a raster."""
    keep = {"frame": with_holes(block(10, 10, 90, 60), block(20, 20, 80, 50, 3)), **PADS}
    del keep["plate"]
    left = {"wall": 0.2, "floor": 0.1}
    passes = [
        a_pass("rough", to=-4.0, pattern="contour_parallel", **allowed(left)),
        a_pass("rest", "T2", pattern="contour_parallel", **allowed(left)),
        a_pass("rest", "T2", pattern="direction_parallel", name="again", **allowed(left)),
        a_pass("finish_floor", "T2", pattern="direction_parallel"),
        a_pass("finish_walls", "T2", spring_passes=1),
    ]
    tools = [end_mill("T1", 12.0), end_mill("T2", 6.0)]
    before = None
    for count in range(1, len(passes) + 1):
        job, part = bench(keep, passes[:count], tools=tools)
        heights, _ = replay(motions_of(job, part), part, {"T1": 6.0, "T2": 3.0})
        if before is not None:
            assert (heights.z <= before + 1e-6).all(), passes[count - 1].name
            assert (heights.z < before - 1e-6).any() or passes[count - 1].name == "again"
        before = heights.z


def allowed(left: dict[str, float]) -> dict[str, float]:
    return {f"{where}_allowance": mm for where, mm in left.items()}


def test_a_shank_wider_than_the_cutter_keeps_off_what_stands() -> None:
    keep = {"boss": disc(50, 35, 12)}
    tool = end_mill(flute_length=6.0, shank_diameter=14.0, stickout=30.0)
    passes = [a_pass("rough", to=-10.0, pattern="contour_parallel", axial_depth=5.0)]
    job, part = bench(keep, passes, tools=(tool,))
    clearance = Clearance(disc(50, 35, 12))
    nearest = {-5.0: math.inf, -10.0: math.inf}
    for _, move, at in segments(motions_of(job, part)):
        if at.z != move.to.z or at.z not in nearest or at.xy == move.to.xy:
            continue
        segment = (
            Arc(at.xy, move.to.xy, move.centre, move.ccw)
            if isinstance(move, Turn)
            else Line(at.xy, move.to.xy)
        )
        nearest[at.z] = min(nearest[at.z], clearance.of(segment).distance)
    assert nearest[-5.0] == pytest.approx(5.0, abs=1e-3)  # the flutes reach so high
    assert nearest[-10.0] == pytest.approx(7.0, abs=1e-3)  # there the shank is beside it
