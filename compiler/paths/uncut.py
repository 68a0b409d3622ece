"""What an operation had within reach and still left: closed places without a way down."""

from __future__ import annotations

import shapely

from compiler.diagnostics import Diagnostic, Label
from compiler.job.model import Job, Pass, Tool
from compiler.paths import sets
from compiler.paths.progress import Progress
from compiler.paths.task import Task
from compiler.units.number import in_units, length, short

LEFT = 1.0  # mm2 at a level: more than this is reported
MOST = 5  # findings for one level
HELIX_ROOM = 1.3  # times its diameter: the bore that a cutter needs to helix down


def left_of(task: Task, progress: Progress) -> list[shapely.Polygon]:
    """Pieces of the task's work that the cutter could take and did not."""
    aimed = progress.left_in(sets.swell(task.work, task.radius))
    rest = sets.removable(aimed, task.centres, task.radius)
    rest = sets.area_of(rest.intersection(sets.swell(task.work, task.radius - sets.SLIVER)))
    return [piece for piece in sets.polygons(rest) if piece.area > LEFT]


def findings(job: Job, asked: Pass, task: Task, left: list[shapely.Polygon]) -> list[Diagnostic]:
    """An error for each place that stays."""
    return [_no_way_down(job, asked, task, piece) for piece in left[:MOST]]


def _no_way_down(job: Job, asked: Pass, task: Task, piece: shapely.Polygon) -> Diagnostic:
    units = job.units
    at = piece.representative_point()
    x, y = short(in_units(at.x, units), 3), short(in_units(at.y, units), 3)
    tool = job.tool(asked.tool)
    fitting = _largest(job, tool, _width(task, piece))
    if fitting is not None:
        remedy = f"`{fitting.name}` ({length(fitting.diameter, units)}) can helix in there"
    else:
        width = length(_width(task, piece) / HELIX_ROOM, units)
        remedy = f"a cutter of {width} or less can helix in there"
    return Diagnostic(
        code="E408",
        message=f"`{tool.name}` finds no way down to the place at X{x} Y{y} in `{asked.name}`",
        primary=Label(asked.spans.get("tool", asked.origin)),
        help=f"{remedy}; or drill the place open first",
        data=(("x_mm", round(at.x, 3)), ("y_mm", round(at.y, 3))),
    )


def _width(task: Task, piece: shapely.Polygon) -> float:
    """Diameter of the largest disc that fits where the piece lies."""
    around = sets.swell(task.centres, task.radius).intersection(piece.buffer(task.radius))
    rim = shapely.maximum_inscribed_circle(sets.area_of(around), tolerance=0.05)
    return 2 * rim.length


def _largest(job: Job, tool: Tool, width: float) -> Tool | None:
    fitting = [
        other
        for other in job.tools
        if other.kind == tool.kind
        and other.diameter < tool.diameter
        and other.diameter * HELIX_ROOM <= width
    ]
    return max(fitting, key=lambda other: other.diameter, default=None)
