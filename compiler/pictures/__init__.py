"""Drawings of part and paths: a display list in mm on paper, and its SVG."""

from compiler.geometry import Point
from compiler.job import Job
from compiler.motion import OperationPath
from compiler.part.model import Part
from compiler.pictures.part_view import part_scale, plan_drawing
from compiler.pictures.path_view import path_drawing
from compiler.pictures.svg import svg

ROOM = Point(250.0, 200.0)  # mm; pictures are scaled by what shows them


def plan_view(job: Job, part: Part) -> str:
    """The part from above as an SVG file: stock, what stands, obstacles, datum, dimensions."""
    picture = plan_drawing(job, part, part_scale(part, ROOM, side_too=False))
    return svg(picture, f"{job.output_name}: the part from above")


def operation_view(job: Job, part: Part, path: OperationPath) -> str:
    """One operation's moves from above as an SVG file."""
    picture = path_drawing(job, part, path, ROOM)
    return svg(picture, f"{job.output_name}: operation {path.operation}")


__all__ = ["operation_view", "plan_view"]
