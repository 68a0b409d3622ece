"""Every picture of a proven job, by what its file is called after the job's name."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.geometry import Point
from compiler.job import Job
from compiler.judge.case import Case
from compiler.judge.model import Leftover
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.pictures.display import Picture
from compiler.pictures.engagement_view import engagement_drawing
from compiler.pictures.part_view import part_scale, plan_drawing, scene
from compiler.pictures.path_view import path_drawing
from compiler.pictures.stock_view import stock_drawing
from compiler.plan.model import OperationList

ROOM = Point(250.0, 200.0)  # mm; pictures are scaled by what shows them


def gallery(
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    case: Case,
    leftovers: tuple[Leftover, ...],
) -> Iterator[tuple[str, Picture, str]]:
    """Name, picture and title: the part, each operation, its engagement, the stock's depths."""
    title = job.output_name
    view = scene(part)
    scale = part_scale(part, ROOM, side_too=False, view=view)
    part_picture = plan_drawing(job, part, scale, view)
    yield "plan", part_picture, f"{title}: the part from above"
    if job.table is not None:
        scale = part_scale(case.part, ROOM, side_too=False)
        several = plan_drawing(job, case.part, scale, places=job.table.places)
        yield "table", several, f"{title}: the parts on the table"
    for path in motions.of_one_part.paths:
        name = path.operation.replace(" ", "-")
        yield (
            name,
            path_drawing(job, part, path, ROOM, view),
            f"{title}: operation {path.operation}",
        )
    yield from evidence_gallery(plan, case, leftovers)


def evidence_gallery(
    plan: OperationList, case: Case, leftovers: tuple[Leftover, ...]
) -> Iterator[tuple[str, Picture, str]]:
    """Those that show a program's text as it was read and cut, whoever wrote it."""
    title = case.job.output_name
    for operation in plan.operations:
        picture = engagement_drawing(case, operation, ROOM)
        if picture is not None:
            name = f"{operation.id.replace(' ', '-')}.engagement"
            yield name, picture, f"{title}: engagement in operation {operation.id}"
    stock = stock_drawing(case, leftovers, ROOM)
    yield "material", stock, f"{title}: material by depth, before and after"
