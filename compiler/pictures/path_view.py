"""One operation from above: what its cutter sweeps, what stands, and every move by its own line."""

import math

from compiler.geometry import Arc, Line, Point, Region, Segment
from compiler.job import Job
from compiler.motion import OperationPath, Point3, Rapid, Role, Turn
from compiler.part.model import Part
from compiler.pictures import marks
from compiler.pictures.display import HATCH, Item, Pen, Picture, Run
from compiler.pictures.frame import Box, Frame, joined, scale_for
from compiler.pictures.hatch import hatch
from compiler.pictures.part_view import Scene, scene
from compiler.pictures.path_notes import (
    BACKGROUND,
    HELD,
    LEGEND,
    PENS,
    START_ROOM,
    SWEPT,
    Kind,
    descents,
    ends,
    legend,
    legend_rows,
)

STANDING_HATCH = 2.0  # mm from row to row
FOOT, HEAD = LEGEND * 2 + START_ROOM + 2, 8.0  # mm on paper, for the legend and the title
SHORTEST = 12  # letters of a name
LONG_RUN = 12.0  # mm on paper: shorter ones show no direction


def path_scale(job: Job, view: Scene, path: OperationPath, room: Point) -> tuple[str, float]:
    """The largest scale of ISO 5455 at which an operation's picture fits the room (mm)."""
    box = _reach(view, path, _by_kind(path), job.tool(path.tool).radius)
    free = Point(room.x - 4, room.y - FOOT - HEAD)
    return scale_for(box[2] - box[0], box[3] - box[1], free)


def path_drawing(
    job: Job,
    part: Part,
    path: OperationPath,
    room: Point,
    view: Scene | None = None,
    scaled: tuple[str, float] | None = None,
) -> Picture:
    """One operation's moves over the part's outlines.

    Args:
        job: For units and the tool.
        part: For the outlines.
        path: The moves, mm.
        room: The paper to fit, mm.
        view: What `scene` makes of the part, where it is at hand.
        scaled: The scale and its name; without it the largest that fits.
    """
    sorted_moves = _by_kind(path)
    view = view or scene(part)
    tool = job.tool(path.tool)
    box = _reach(view, path, sorted_moves, tool.radius)
    name, scale = scaled or path_scale(job, view, path, room)
    width = max((box[2] - box[0]) * scale + 4, min(room.x, 120.0))
    title = _title(path.operation, f", T{tool.number}, scale {name}", width)
    kinds = {kind for kind in sorted_moves if sorted_moves[kind]}
    rows = legend_rows(kinds, width, held=bool(view.obstacles))
    foot = LEGEND * len(rows) + START_ROOM + 2
    height = (box[3] - box[1]) * scale + foot + HEAD
    frame = Frame(name, scale, Point(box[0] - 2 / scale, box[1] - (foot + 1) / scale))
    items: list[Item] = []
    stock = _outlines(frame, view.stock)
    items.append(_swept(path, frame, tool.radius * scale, part.stock_top, stock))
    items.append(Run(stock, BACKGROUND, closed=True))
    for _, _, region in view.obstacles:
        items.append(Run(_outlines(frame, region), BACKGROUND, fill=HELD, closed=True))
    for _, _, region in view.standing:
        lines = hatch(frame.region(region), STANDING_HATCH, math.pi / 4)
        items.append(Run(_outlines(frame, region), BACKGROUND, fill=1.0, closed=True))
        items.append(Run(tuple((line,) for line in lines), HATCH))
    for kind, _, pen in PENS:
        if runs := tuple(_chained(frame, sorted_moves.get(kind, []))):
            items.append(Run(runs, pen))
            items += _ways(runs) if kind is Role.CUT else []
    items += ends(path, frame, tool.radius * scale, (0.0, foot - START_ROOM, width, height - HEAD))
    items += legend(rows, foot - START_ROOM)
    items += marks.head(title, height, scale, job.units)
    return Picture(max(width, marks.head_width(title)), height, tuple(items), scale)


def _title(operation: str, ending: str, width: float) -> str:
    """The operation's name, shortened where the picture is too narrow for it."""
    name = operation
    if marks.head_width(name + ending) <= width:
        return name + ending
    while len(name) > SHORTEST and marks.head_width(f"{name}…{ending}") > width:
        name = name[:-1].rstrip()
    return f"{name}…{ending}" if name != operation else name + ending


def _by_kind(path: OperationPath) -> dict[Kind, list[Segment]]:
    """The moves that show from above, by kind, in order. Straight up and down shows as an end."""
    kinds: dict[Kind, list[Segment]] = {kind: [] for kind, _, _ in PENS}
    here: Point3 | None = None
    for move in path.moves:
        if here is not None:
            kind = None if isinstance(move, Rapid) else move.role
            if isinstance(move, Turn):
                arc = Arc(here.xy, move.to.xy, move.centre, move.ccw)
                kinds.setdefault(kind, []).append(arc)
            elif here.xy.distance(move.to.xy) > 1e-6:
                kinds.setdefault(kind, []).append(Line(here.xy, move.to.xy))
        here = move.to
    return kinds


def _ways(runs: tuple[tuple[Segment, ...], ...]) -> list[Item]:
    """An arrow head half way along each long run: which way round the tool goes."""
    items: list[Item] = []
    for run in runs:
        half = sum(segment.length for segment in run) / 2
        if half < LONG_RUN / 2:
            continue
        for segment in run:
            if segment.length >= half:
                t = half / segment.length
                items.append(marks.arrow(segment.at(t), segment.tangent(t).angle(), 2.0))
                break
            half -= segment.length
    return items


def _chained(frame: Frame, segments: list[Segment]) -> list[tuple[Segment, ...]]:
    """Segments on paper, joined into runs where one starts where the other ended."""
    runs: list[list[Segment]] = []
    seen: set[tuple[float, ...]] = set()
    for segment in segments:
        key = tuple(round(c, 3) for p in (segment.start, segment.at(0.5), segment.end) for c in p)
        if key in seen:
            continue  # the same at another depth: dashes drawn twice would look whole
        seen.add(key)
        placed = frame.segment(segment)
        if runs and runs[-1][-1].end.distance(placed.start) < 1e-6:
            runs[-1].append(placed)
        else:
            runs.append([placed])
    return [tuple(run) for run in runs]


def _reach(
    view: Scene, path: OperationPath, moves: dict[Kind, list[Segment]], radius: float
) -> Box:
    """The box round the part, all moves, and the tool where it starts."""
    boxes: list[Box] = [view.reach]
    boxes += [segment.bounds for segments in moves.values() for segment in segments]
    for x, y in descents(path)[:1]:
        boxes.append((x - radius, y - radius, x + radius, y + radius))
    return joined(boxes)


def _outlines(frame: Frame, region: Region) -> tuple[tuple[Segment, ...], ...]:
    return tuple(outline.segments for outline in frame.region(region).outlines)


def _swept(
    path: OperationPath,
    frame: Frame,
    radius: float,
    top: float,
    stock: tuple[tuple[Segment, ...], ...],
) -> Run:
    """What the cutter goes over below the stock's top: its path as wide as the cutter."""
    segments: list[Segment] = []
    here: Point3 | None = None
    for move in path.moves:
        if here is not None and not isinstance(move, Rapid) and min(here.z, move.to.z) < top:
            if isinstance(move, Turn):
                segments.append(Arc(here.xy, move.to.xy, move.centre, move.ccw))
            else:
                segments.append(Line(here.xy, move.to.xy))
        here = move.to
    return Run(tuple(_chained(frame, segments)), Pen(2 * radius, grey=SWEPT), within=stock)
