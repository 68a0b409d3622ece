"""What an operation had within reach and still left: closed places without a way down.

Whether that matters shows only at the end: a later pass with a smaller cutter may clear the place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon

from compiler.diagnostics import Diagnostic, Label
from compiler.job.model import Job, Pass, Tool
from compiler.paths import sets
from compiler.paths.progress import Progress
from compiler.paths.run import polyline
from compiler.paths.sets import Ground
from compiler.paths.stroke import Stroke
from compiler.paths.task import Task
from compiler.units.number import in_units, length, short

LEFT = 1.0  # mm2 at a level: more than this is reported
MOST = 5  # findings for one pass
HELIX_ROOM = 1.3  # times its diameter: the bore that a cutter needs to helix down


@dataclass(frozen=True, slots=True)
class Uncut:
    """A place at one height that a pass left although its cutter fits there."""

    asked: Pass
    task: Task
    height: float  # Z of the level's bottom, mm
    piece: Polygon


def left_of(task: Task, progress: Progress) -> list[Polygon]:
    """Pieces of the task's work that the cutter could take and did not."""
    aimed = progress.left_in(sets.swell(task.work, task.radius))
    rest = sets.removable(aimed, task.centres, task.radius)
    rest = sets.area_of(rest.intersection(sets.swell(task.work, task.radius - sets.SLIVER)))
    return [piece for piece in sets.polygons(rest) if piece.area > LEFT]


def rooms_not_entered(task: Task, strokes: Sequence[Stroke]) -> list[Polygon]:
    """Material round the rooms of the task's work into which no stroke comes."""
    lines = [LineString(polyline(p.segment for p in stroke.pieces)) for stroke in strokes]
    runs = shapely.MultiLineString(lines)
    rooms = [room for room in sets.polygons(task.work) if not room.intersects(runs)]
    found: list[Polygon] = []
    for room in rooms:
        around = task.material.intersection(sets.swell(room, task.radius - sets.SLIVER))
        found += [piece for piece in sets.polygons(sets.area_of(around)) if piece.area > LEFT]
    return found


def findings(job: Job, left: Sequence[Uncut], ground: Ground) -> list[Diagnostic]:
    """An error for each place that stays to the end, at the first pass that should have cut it."""
    found: list[Diagnostic] = []
    told: list[Polygon] = []
    for each in left:
        still = ground.at(each.height).intersection(each.piece)
        if still.area <= LEFT or any(each.piece.intersects(piece) for piece in told):
            continue
        told.append(each.piece)
        found.append(_no_way_down(job, each.asked, each.task, each.piece))
    return found[:MOST]


def _no_way_down(job: Job, asked: Pass, task: Task, piece: Polygon) -> Diagnostic:
    units = job.units
    at = piece.representative_point()
    x, y = short(in_units(at.x, units), 3), short(in_units(at.y, units), 3)
    tool = job.tool(asked.tool)
    fitting = _largest(job, tool, _width(task, piece))
    if fitting is not None:
        whose = "" if fitting in job.tools else " of the crib"
        remedy = f"`{fitting.name}`{whose} ({length(fitting.diameter, units)}) can helix in there"
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


def _width(task: Task, piece: Polygon) -> float:
    """Diameter of the largest disc that fits where the piece lies."""
    around = sets.swell(task.centres, task.radius).intersection(piece.buffer(task.radius))
    rim = shapely.maximum_inscribed_circle(sets.area_of(around), tolerance=0.05)
    return 2 * rim.length


def _largest(job: Job, tool: Tool, width: float) -> Tool | None:
    fitting = [
        other
        for other in (*job.tools, *job.crib)
        if other.kind == tool.kind
        and other.diameter < tool.diameter
        and other.diameter * HELIX_ROOM <= width
    ]
    return max(fitting, key=lambda other: other.diameter, default=None)
