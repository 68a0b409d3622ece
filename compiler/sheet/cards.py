"""A card for each operation: its picture, and beside or below it what it cuts and what remains."""

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer

from compiler.geometry import Point
from compiler.job import Job
from compiler.motion import Motions, OperationPath
from compiler.part.model import Part
from compiler.pictures.part_view import Scene
from compiler.pictures.path_view import path_drawing, path_scale
from compiler.plan.model import OperationList
from compiler.sheet import layout
from compiler.sheet.content import Facts, Section
from compiler.sheet.paint import Drawing

BESIDE, GAP = 56.0, 4.0  # mm: the facts' least width, and what is between them and the picture
LEAST_FACTS = 40.0  # mm: under a picture with a long title rather than narrower
HALF_PAGE, WHOLE_PAGE = 112.0, 200.0  # mm of height for a picture
LEAST_ROWS = 1.2  # mm on paper from row to row: closer ones run into each other


def cards(
    section: Section,
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    view: Scene,
    width: float,
) -> list[Flowable]:
    """The section's facts with their pictures, all at one scale.

    Args:
        section: Facts for each operation, in the plan's order.
        job: For units and tools.
        part: For the outlines.
        plan: For how close its rows are.
        motions: What is drawn.
        view: What `scene` makes of the part.
        width: Of the page's type area, points.
    """
    paths = {path.operation: path for path in motions.paths}
    facts = {op.id: said for op, said in zip(plan.operations, section.parts, strict=True)}
    drawn = tuple(paths.values())
    room = Point(width / mm - BESIDE - GAP, HALF_PAGE)
    scale = _common_scale(job, view, drawn, room)
    beside = scale[1] >= 1 or _closest(job, plan) * scale[1] >= LEAST_ROWS
    whole = Point(width / mm, WHOLE_PAGE)
    if not beside and (larger := _common_scale(job, view, drawn, whole))[1] > scale[1]:
        room, scale = whole, larger
    else:
        beside = True
    head: list[Flowable] = [layout.words(section.title, layout.TITLE), Spacer(0, 1.2 * mm)]
    story: list[Flowable] = []
    for name, path in paths.items():
        said = facts[name]
        assert isinstance(said, Facts)
        picture = Drawing(path_drawing(job, part, path, room, view, scale))
        left = width - picture.width - GAP * mm
        if beside and left >= LEAST_FACTS * mm:
            shares = (width - left, left)
            card = [layout.columns([picture], [layout.facts(said.rows, left)], shares)]
        else:
            card = [picture, Spacer(0, 1 * mm), layout.facts(said.rows, width)]
        story += [KeepTogether([*head, *card]), Spacer(0, 5 * mm)]
        head = []  # the title stays with the first
    return story


def _common_scale(
    job: Job, view: Scene, paths: tuple[OperationPath, ...], room: Point
) -> tuple[str, float]:
    """The largest scale at which every picture fits the room."""
    return min((path_scale(job, view, path, room) for path in paths), key=lambda found: found[1])


def _closest(job: Job, plan: OperationList) -> float:
    """The least distance between neighbouring rows of any operation, mm."""
    rows = [op.radial_depth_mm for op in plan.operations if op.pattern and op.radial_depth_mm]
    return min(rows, default=min(job.tool(op.tool).radius for op in plan.operations))
