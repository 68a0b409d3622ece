"""The one road from the operation list to motions.

Each operation in turn: for each of its levels the sets are made, a strategy gives strokes, the
linker joins them, and what they swept is taken from the ground that the next one starts from.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import shapely
from shapely import Polygon

from compiler.diagnostics import Diagnostic, Label, Outcome, Severity
from compiler.geometry import EMPTY, Point
from compiler.job.model import Job, Pass, Pattern
from compiler.motion import Hole, Motions, Move, OperationPath
from compiler.part.model import Gone, Part
from compiler.paths import (
    break_edges,
    contour_parallel,
    direction_parallel,
    finish_walls,
    sets,
)
from compiler.paths.approach import Scene
from compiler.paths.bearing import borne_shares
from compiler.paths.drill import Drilling, drill, tip_depth
from compiler.paths.leftovers import leftovers
from compiler.paths.linking.link import Known, link
from compiler.paths.pen import Pen
from compiler.paths.progress import Progress
from compiler.paths.sets import Ground, Sweep
from compiler.paths.setting import Setting, pace_of, setting_of
from compiler.paths.stroke import Stroke
from compiler.paths.task import Task
from compiler.paths.tasks import task_for
from compiler.paths.uncut import Uncut, left_of, rooms_not_entered
from compiler.paths.uncut import findings as uncut
from compiler.plan.choice import CLEARING
from compiler.plan.model import Level, Operation, OperationList
from compiler.units.number import in_units, short


def _constant_engagement(task: Task) -> tuple[Stroke, ...]:
    from compiler.paths.constant_engagement import plan

    return plan(task)


STRATEGIES: Mapping[Pattern, Callable[[Task], tuple[Stroke, ...]]] = {
    "contour_parallel": contour_parallel.plan,
    "direction_parallel": direction_parallel.plan,
    "constant_engagement": _constant_engagement,
}


# mm round a drill in which what is higher counts; less and a wall that is merely near would too
BESIDE_HOLE = 0.2


@dataclass(slots=True)
class Work:
    """What cutting carries from one operation to the next."""

    job: Job
    part: Part
    ground: Ground
    left_on_walls: float = 0.0  # where no region has an allowance of its own
    uncut: list[Uncut] = field(default_factory=list)


def cut(job: Job, part: Part, operations: OperationList) -> Outcome[Motions]:
    """Motions for every operation of the list, with errors where one can't be cut.

    `part` and `operations` are the job's own. Returns no value where any operation failed.
    """
    return cut_down(job, part, operations)[0]


def cut_down(
    job: Job, part: Part, operations: OperationList
) -> tuple[Outcome[Motions], tuple[Gone, ...]]:
    """The same, with what is gone from the stock after it: the next setup begins without that."""
    work = Work(job, part, Ground.of(part))
    passes = {asked.name: asked for asked in job.passes}
    paths: list[OperationPath] = []
    findings: list[Diagnostic] = []
    for operation in operations.operations:
        asked, before = passes[operation.id], len(work.uncut)
        holes: tuple[Hole, ...] = ()
        if operation.kind == "drill":
            moves, holes = _drill(work, asked, operation)
        else:
            moves, found = _operation(work, asked, operation)
            findings += found
        if moves:
            paths.append(
                OperationPath(
                    operation=operation.id,
                    tool=operation.tool,
                    rpm=operation.cutting.rpm,
                    coolant=operation.coolant,
                    stop_before=operation.stop_before,
                    moves=tuple(moves),
                    cycle=operation.cycle,
                    holes=holes,
                )
            )
        elif operation.kind in CLEARING and len(work.uncut) == before:
            findings.append(_idle(asked))
    findings += uncut(job, work.uncut, work.ground)
    failed = any(found.severity is Severity.ERROR for found in findings)
    outcome = Outcome(None if failed else Motions(tuple(paths)), tuple(findings))
    return outcome, work.ground.gone()


def _operation(
    work: Work, asked: Pass, operation: Operation
) -> tuple[list[Move], list[Diagnostic]]:
    """The moves of one operation; the work's ground is what it leaves."""
    if operation.kind == "break_edges":
        return _break_edges(work, asked, operation)
    pen, findings = Pen(), list[Diagnostic]()
    known: dict[tuple[object, ...], tuple[Task, tuple[Stroke, ...], Known]] = {}
    deepest = min(level.bottom_mm for level in operation.levels)
    sweeps: list[Sweep] = []
    ground = work.ground
    for level in operation.levels:
        # levels that differ in depth alone are cut along the same strokes
        key = _alike(work, operation, level, ground)
        if operation.kind == "finish_floor" or key not in known:
            task = _task(work, operation, level, ground)
            strokes, cramped = _strokes(operation, task)
            findings += [_no_room_to_switch(work.job, asked, place) for place in cramped]
            known[key] = task, strokes, Known(deepest)
        task, strokes, ways = known[key]
        progress, left = _cut_level(work, pen, operation, level, task, strokes, sweeps, ways)
        work.uncut += [Uncut(asked, task, level.bottom_mm, piece) for piece in left]
        if strokes:
            sweeps.append(Sweep(operation.id, level.bottom_mm, progress.swept()))
            ground = ground.opened_by(sweeps[-1])
    for sweep in sweeps:
        work.ground = work.ground.after(sweep)
    if operation.kind in ("rough", "rest"):
        work.left_on_walls = max(work.left_on_walls, operation.wall_allowance_mm)
    return pen.moves, findings


def _drill(work: Work, asked: Pass, operation: Operation) -> tuple[list[Move], tuple[Hole, ...]]:
    """Holes at the pass's places, which the job gives in the drawing's coordinates."""
    pen, (level,) = Pen(), operation.levels
    tool = work.job.tool(operation.tool)
    cycle = operation.cycle or "plain"
    holes = []
    for place in asked.at:
        at = place.minus(work.job.datum.at)
        begins = _highest_at(work, at, tool.radius, level.top_mm) + work.part.approach
        holes.append((at, min(begins, work.part.clearance)))
    found = drill(
        pen,
        Drilling(
            cycle=cycle,
            holes=holes,
            bottom=tip_depth(level.bottom_mm, tool, cycle, work.job.units),
            clearance=work.part.clearance,
            feed=operation.cutting.feed_mm_min,
            peck=operation.peck_mm,
            dwell=operation.dwell_s,
        ),
    )
    return pen.moves, found


def _highest_at(work: Work, at: Point, radius: float, top: float) -> float:
    """Z of the highest that stands under a drill and a little round it, mm; at most `top`."""
    disc = shapely.Point(at).buffer(radius + BESIDE_HOLE)
    bottoms = {sweep.bottom for sweep in work.ground.sweeps if sweep.bottom < top}
    heights = sorted(z for z in bottoms if math.isfinite(z))  # nothing drills where all is gone
    return next((z for z in heights if not work.ground.at(z).intersects(disc)), top)


def _break_edges(
    work: Work, asked: Pass, operation: Operation
) -> tuple[list[Move], list[Diagnostic]]:
    pen, findings = Pen(), list[Diagnostic]()
    tool = work.job.tool(operation.tool)
    for level in operation.levels:
        material = work.ground.at(level.bottom_mm)
        edges = break_edges.plan(work.part, operation, level, tool, material)
        setting = _bare_setting(work, operation, level)
        progress = Progress(sets.NONE, tool.tip_diameter / 2 + 1e-3)
        link(pen, edges.strokes, setting, progress, Known(level.bottom_mm))
        if not edges.whole:
            findings.append(_not_all_along(asked, level))
    return pen.moves, findings


def _bare_setting(work: Work, operation: Operation, level: Level) -> Setting:
    """For operations that clear nothing: no material to weigh, links by a lift."""
    task = Task(
        radius=work.job.tool(operation.tool).radius,
        forbidden=EMPTY,
        centres=sets.NONE,
        material=sets.NONE,
        cleared=sets.NONE,
        work=sets.NONE,
        step=operation.radial_depth_mm,
        engagement=None,
        direction=operation.direction,
    )
    return setting_of(work.part, operation, level, task, sets.NONE, work.job.machine)


def _cut_level(
    work: Work,
    pen: Pen,
    operation: Operation,
    level: Level,
    task: Task,
    strokes: tuple[Stroke, ...],
    sweeps: list[Sweep],
    known: Known,
) -> tuple[Progress, list[Polygon]]:
    """Draw one level; what the strokes leave within reach is cut after them, slowly.

    Returns what was swept, and the places that stay although the cutter fits there.
    """
    above = work.ground.at(level.top_mm)
    for sweep in sweeps:
        if sweep.bottom <= level.top_mm + 1e-6:
            above = sets.area_of(above.difference(sweep.area))
    setting = setting_of(work.part, operation, level, task, above, work.job.machine)
    progress = Progress(task.material, task.radius)
    drawn = len(pen.moves)
    link(pen, strokes, setting, progress, known)
    if operation.kind == "finish_walls":
        return progress, rooms_not_entered(task, strokes)
    left = left_of(task, progress)
    if left:
        more = leftovers(Scene(task, progress.copy()), task.step / 2)
        link(pen, more, setting, progress, known)
        left = left_of(task, progress) if more else left
    _hold_limit(pen, drawn, operation, setting)
    return progress, left


def _hold_limit(pen: Pen, first: int, operation: Operation, setting: Setting) -> None:
    """Slow the moves from the first on where they pass a limit that the operation promises."""
    if setting.task.engagement is None or first == len(pen.moves):
        return
    from compiler.paths.constant_engagement.held import held

    feed = min(operation.cutting.feed_mm_min, setting.feeds.cut)
    before = pen.moves[first - 1].to if first else None
    pen.moves[first:] = held(pen.moves[first:], before, setting.task, setting.bottom, feed)


def _task(work: Work, operation: Operation, level: Level, ground: Ground) -> Task:
    tool = work.job.tool(operation.tool)
    task = task_for(work.part, operation, level, tool, ground, left_on_walls=work.left_on_walls)
    pace = pace_of(work.part, operation, level, work.job.machine)
    return replace(task, borne=borne_shares(work.job, operation, tool), pace=pace)


def _strokes(operation: Operation, task: Task) -> tuple[tuple[Stroke, ...], tuple[Point, ...]]:
    """The strokes of a level, and places where compensation finds no room to be switched on."""
    if task.work.is_empty:
        return (), ()
    if operation.kind == "finish_walls":
        walls = finish_walls.Walls(task, operation.spring_passes, operation.wear_range_mm)
        planned = finish_walls.plan(walls)
        return planned.strokes, planned.cramped
    assert operation.pattern is not None, "clearing operations have a pattern"
    return STRATEGIES[operation.pattern](task), ()


def _alike(work: Work, operation: Operation, level: Level, ground: Ground) -> tuple[object, ...]:
    """What the sets of a level depend on: equal for two levels, they have the same strokes."""
    part, tool, bottom = work.part, work.job.tool(operation.tool), level.bottom_mm
    blocked = tuple(o.name for o in part.obstacles if o.top > bottom)
    # deeper, a shank or a holder may stand beside what stands
    tops = sorted({s.top for s in part.standing} | {o.top for o in part.obstacles})
    wide = tuple(sets.widest(tool, top - bottom) for top in tops if top > bottom)
    return (level.standing, level.over, ground.deeper(bottom), blocked, wide)


def _idle(asked: Pass) -> Diagnostic:
    return Diagnostic(
        code="W450",
        message=f"`{asked.name}` finds nothing to cut with `{asked.tool}`",
        primary=Label(asked.origin),
        severity=Severity.WARNING,
        help="leave the pass out, or let the passes before it leave it something",
    )


def _not_all_along(asked: Pass, level: Level) -> Diagnostic:
    return Diagnostic(
        code="W406",
        message=f"the edges of {', '.join(f'`{n}`' for n in level.over)} can't be broken all along",
        primary=Label(asked.spans.get("width", asked.origin)),
        severity=Severity.WARNING,
        help="something stands too near for the cone: break the rest by hand, or take a smaller "
        "chamfer mill",
    )


def _no_room_to_switch(job: Job, asked: Pass, place: Point) -> Diagnostic:
    x, y = (short(in_units(value, job.units), 3) for value in place)
    return Diagnostic(
        code="E463",
        message=f"`{asked.name}` finds no room at the wall near X{x} Y{y} for the straight move "
        "and the arc on which the control's compensation is switched on",
        primary=Label(asked.spans.get("compensation", asked.origin)),
        help="clear more beside the wall first, take a smaller cutter or a smaller `wear_range`, "
        "or leave `compensation` out for this wall by `regions` and a pass of its own",
        data=(("x_mm", round(place.x, 3)), ("y_mm", round(place.y, 3))),
    )
