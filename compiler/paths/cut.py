"""The one road from the operation list to motions.

Each operation in turn: for each of its levels the sets are made, a strategy gives strokes, the
linker joins them, and what they swept is taken from the ground that the next one starts from.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import shapely

from compiler.diagnostics import Diagnostic, Label, Outcome, Severity, Span
from compiler.geometry.polygon import to_polygon
from compiler.job.model import Job, Pass, Pattern, Tool
from compiler.motion import Motions, Move, OperationPath
from compiler.part.model import Part
from compiler.paths import contour_parallel, direction_parallel, finish_walls, sets
from compiler.paths.link import Heights, link
from compiler.paths.pen import Feeds, Pen
from compiler.paths.progress import Progress
from compiler.paths.sets import CHORD, Ground, Sweep
from compiler.paths.stroke import Stroke
from compiler.paths.task import Task
from compiler.paths.tasks import task_for
from compiler.plan.choice import link_feed
from compiler.plan.model import Level, Operation, OperationList
from compiler.units.number import in_units, length, short

LEFT = 1.0  # mm2 at a level: more than this uncut within reach is reported


def _constant_engagement(task: Task) -> tuple[Stroke, ...]:
    from compiler.paths.constant_engagement import plan

    return plan(task)


STRATEGIES: Mapping[Pattern, Callable[[Task], tuple[Stroke, ...]]] = {
    "contour_parallel": contour_parallel.plan,
    "direction_parallel": direction_parallel.plan,
    "constant_engagement": _constant_engagement,
}


@dataclass(slots=True)
class Work:
    """What cutting carries from one operation to the next."""

    job: Job
    part: Part
    ground: Ground
    left_on_walls: float = 0.0


def cut(job: Job, part: Part, operations: OperationList) -> Outcome[Motions]:
    """Motions for every operation of the list, with errors where one can't be cut.

    `part` and `operations` are the job's own. Returns no value where any operation failed.
    """
    work = Work(job, part, Ground(to_polygon(part.stock, CHORD, "outside")))
    passes = {asked.name: asked for asked in job.passes}
    paths: list[OperationPath] = []
    findings: list[Diagnostic] = []
    for operation in operations.operations:
        moves, found = _operation(work, passes[operation.id], operation)
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
                )
            )
    failed = any(found.severity is Severity.ERROR for found in findings)
    return Outcome(None if failed else Motions(tuple(paths)), tuple(findings))


def _operation(
    work: Work, asked: Pass, operation: Operation
) -> tuple[list[Move], list[Diagnostic]]:
    """The moves of one operation; the work's ground is what it leaves."""
    if operation.kind in ("drill", "break_edges"):
        return [], [_not_yet(asked)]
    tool = work.job.tool(operation.tool)
    pen, findings = Pen(), list[Diagnostic]()
    known: dict[tuple[object, ...], tuple[Task, tuple[Stroke, ...]]] = {}
    sweeps: list[Sweep] = []
    for level in operation.levels:
        key = (
            level.standing,
            level.over,
            work.ground.deeper(level.bottom_mm),
            _blocked(work, level),
        )
        if operation.kind == "finish_floor" or key not in known:
            task = _task(work, operation, level, tool)
            known[key] = task, _strokes(operation, task)
        task, strokes = known[key]
        above = work.ground.at(level.top_mm)
        for sweep in sweeps:
            if sweep.bottom <= level.top_mm + 1e-6:
                above = sets.area_of(above.difference(sweep.area))
        progress = link(
            pen,
            strokes,
            task,
            above,
            _heights(work, operation, level),
            _feeds(work, operation),
            work.job.machine,
        )
        findings += _uncut(work, asked, operation, task, progress)
        if strokes:
            sweeps.append(Sweep(operation.id, level.bottom_mm, progress.swept()))
    for sweep in sweeps:
        work.ground = work.ground.after(sweep)
    if operation.kind in ("rough", "rest"):
        allowances = operation.wall_allowance_by_region_mm.values()
        most = max([operation.wall_allowance_mm, *allowances])
        work.left_on_walls = max(work.left_on_walls, most)
    return pen.moves, findings


def _task(work: Work, operation: Operation, level: Level, tool: Tool) -> Task:
    return task_for(
        work.part, operation, level, tool, work.ground, left_on_walls=work.left_on_walls
    )


def _strokes(operation: Operation, task: Task) -> tuple[Stroke, ...]:
    if task.work.is_empty:
        return ()
    if operation.kind == "finish_walls":
        return finish_walls.plan(finish_walls.Walls(task, operation.spring_passes))
    assert operation.pattern is not None, "clearing operations have a pattern"
    return STRATEGIES[operation.pattern](task)


def _blocked(work: Work, level: Level) -> tuple[str, ...]:
    """Obstacles that reach above the level's bottom: they belong to what makes two levels alike."""
    return tuple(o.name for o in work.part.obstacles if o.top > level.bottom_mm)


def _heights(work: Work, operation: Operation, level: Level) -> Heights:
    part = work.part
    return Heights(
        clearance=part.clearance,
        feed_from=min(part.stock_top + part.approach, part.clearance),
        bottom=level.bottom_mm,
        top=level.top_mm,
        ramp=math.radians(operation.max_ramp_angle_deg),
    )


def _feeds(work: Work, operation: Operation) -> Feeds:
    cutting = operation.cutting
    finish = operation.kind in ("finish_floor", "finish_walls")
    return Feeds(
        cut=cutting.finish_feed_mm_min if finish else cutting.feed_mm_min,
        link=link_feed(work.job.machine, cutting.feed_mm_min, work.job.units).value,
        entry=cutting.entry_feed_mm_min,
    )


def _uncut(
    work: Work, asked: Pass, operation: Operation, task: Task, progress: Progress
) -> list[Diagnostic]:
    """Places within reach that stayed: closed ones without a way down for this cutter."""
    if operation.kind == "finish_walls":
        return []
    aimed = progress.left_in(sets.swell(task.work, task.radius))
    rest = sets.removable(aimed, task.centres, task.radius)
    rest = sets.area_of(rest.intersection(sets.swell(task.work, task.radius - sets.SLIVER)))
    found = []
    for piece in sorted(shapely.get_parts(rest), key=lambda p: p.bounds):
        if piece.area < LEFT:
            continue
        found.append(_no_way_down(work, asked, operation, task, piece))
    return found[:5]


def _no_way_down(
    work: Work, asked: Pass, operation: Operation, task: Task, piece: shapely.Polygon
) -> Diagnostic:
    units = work.job.units
    at = piece.representative_point()
    where = f"X{short(in_units(at.x, units), 3)} Y{short(in_units(at.y, units), 3)}"
    room = (
        shapely.maximum_inscribed_circle(
            sets.area_of(
                sets.swell(task.centres, task.radius).intersection(piece.buffer(task.radius))
            ),
            tolerance=0.05,
        ).length
        * 2
    )
    smaller = 2 * task.radius * 0.6
    fits = [
        tool
        for tool in work.job.tools
        if tool.kind == work.job.tool(operation.tool).kind and tool.diameter <= 0.9 * room / 1.3
    ]
    best = max(fits, key=lambda tool: tool.diameter, default=None)
    remedy = (
        f"`{best.name}` ({length(best.diameter, units)}) could helix in there"
        if best is not None and best.name != operation.tool
        else f"a cutter of {length(min(smaller, room / 1.5), units)} could helix in there"
    )
    return Diagnostic(
        code="E408",
        message=f"`{operation.id}` has no way down to the closed place at {where}",
        primary=Label(_span(asked, "tool")),
        help=remedy + "; or drill the place open first",
        data=(("x_mm", round(at.x, 3)), ("y_mm", round(at.y, 3))),
    )


def _not_yet(asked: Pass) -> Diagnostic:
    return Diagnostic(
        code="E411",
        message=f"`{asked.kind}` is not yet planned",
        primary=Label(asked.origin),
        help="leave the pass out for now, and do this step by hand",
    )


def _span(asked: Pass, key: str) -> Span:
    return asked.spans.get(key, asked.origin)
