"""Drilled holes on the view from above, with a label for each pass that makes them."""

from compiler.geometry import Region
from compiler.job import Job
from compiler.part.model import Part
from compiler.pictures.circles import beyond, centre_lines
from compiler.pictures.display import WIDE, Item, Run
from compiler.pictures.frame import Frame
from compiler.pictures.holes import Hole
from compiler.pictures.labels import Label
from compiler.units.number import LENGTH_DECIMALS, in_units, short


def hole_items(hole: Hole, frame: Frame) -> list[Item]:
    """A drilled hole: its edge and its centre lines; of a spot the centre lines alone."""
    region = frame.region(hole.region)
    edge = (
        [Run(tuple(o.segments for o in region.outlines), WIDE, fill=1.0, closed=True)]
        if not hole.is_spot
        else []
    )
    return [*edge, *centre_lines(region)]


def hole_labels(job: Job, part: Part, drilled: tuple[Hole, ...], frame: Frame) -> tuple[Label, ...]:
    """A label for all holes of a pass; numbered after regions and obstacles."""
    groups: dict[tuple[str, float], list[Hole]] = {}
    for hole in drilled:
        groups.setdefault((hole.name, hole.diameter), []).append(hole)
    number = len(part.visible) + len(part.obstacles)
    found = []
    for (name, diameter), group in groups.items():
        number += 1
        outlines = tuple(o for hole in group for o in frame.region(hole.region).outlines)
        many = f"{len(group)} × " if len(group) > 1 else ""
        size = f"{many}Ø{short(in_units(diameter, job.units), LENGTH_DECIMALS[job.units])}"
        size = f"{many}spot" if group[0].is_spot else size
        region = Region(outlines)
        found.append(Label(region, (name, size), number, beyond(region)))
    return tuple(found)
