"""One operation from above: every move by a line of its own kind, with a legend and a scale."""

from compiler.geometry import Arc, Line, Point, Segment
from compiler.job import Job
from compiler.motion import OperationPath, Point3, Rapid, Role, Straight, Turn
from compiler.part.model import Part
from compiler.pictures import marks
from compiler.pictures.display import Item, Pen, Picture, Run, Words, text_width
from compiler.pictures.frame import Box, Frame, joined, scale_for
from compiler.pictures.part_view import Scene, scene

Kind = Role | None  # None: a rapid

# Told apart by line, not by colour: whole, dashes of several lengths, dots; wide ones go down.
PENS: tuple[tuple[Kind, str, Pen], ...] = (
    (Role.CUT, "cut", Pen(0.2)),
    (Role.LEAD, "run on or off", Pen(0.2, (0.9, 0.5), 0.0)),
    (Role.LINK, "link at depth", Pen(0.2, (3.0, 1.0))),
    (Role.RAMP, "ramp or helix down", Pen(0.45, (2.2, 0.7, 0.4, 0.7))),
    (None, "rapid at clearance", Pen(0.25, (0.2, 1.1))),
)
BACKGROUND = Pen(0.13, grey=0.45)
LEGEND = 4.4  # mm a row
LONG_RUN = 12.0  # mm on paper: shorter ones show no direction


def path_drawing(job: Job, part: Part, path: OperationPath, room: Point) -> Picture:
    """One operation's moves over the part's outlines.

    Args:
        job: For units and the tool.
        part: For the outlines.
        path: The moves, mm.
        room: The paper to fit, mm.
    """
    sorted_moves = _by_kind(path)
    view = scene(part)
    box = _reach(view, sorted_moves)
    tool = job.tool(path.tool)
    foot = LEGEND * 2 + 4
    name, scale = scale_for(box[2] - box[0], box[3] - box[1], Point(room.x - 4, room.y - foot - 8))
    width = max((box[2] - box[0]) * scale + 4, min(room.x, 120.0))
    height = (box[3] - box[1]) * scale + foot + 8
    off = (width - (box[2] - box[0]) * scale) / 2
    frame = Frame(name, scale, Point(box[0] - off / scale, box[1] - (foot + 1) / scale))
    items: list[Item] = []
    for region, fill in (
        (view.stock, 1.0),
        *((region, 0.75) for _, _, region in view.obstacles),
        *((region, 0.9) for _, _, region in view.standing),
    ):
        runs = tuple(outline.segments for outline in frame.region(region).outlines)
        items.append(Run(runs, BACKGROUND, fill=fill, closed=True))
    for kind, _, pen in PENS:
        if runs := tuple(_chained(frame, sorted_moves.get(kind, []))):
            items.append(Run(runs, pen))
            items += _ways(runs) if kind is Role.CUT else []
    items += _ends(path, frame, tool.radius * scale)
    items += _legend({kind for kind in sorted_moves if sorted_moves[kind]}, foot, width)
    title = f"{path.operation}, {path.tool}, scale {name}"
    items.append(Words(Point(0, height - 3.5), title, size=3.0, bold=True))
    items += marks.scale_bar(Point(text_width(title, 3.0) + 4, height - 3.5), scale, job.units)
    return Picture(width, height, tuple(items), scale)


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


def _reach(view: Scene, moves: dict[Kind, list[Segment]]) -> Box:
    boxes: list[Box] = [view.reach]
    boxes += [segment.bounds for segments in moves.values() for segment in segments]
    return joined(boxes)


def _ends(path: OperationPath, frame: Frame, radius: float) -> list[Item]:
    """Where the tool first goes down, drawn to size, and where each later descent is."""
    items: list[Item] = []
    before: Point3 | None = None
    down: list[Point] = []
    for move in path.moves:
        if before is not None and not isinstance(move, Rapid):
            falls = isinstance(move, Straight) and before.xy.distance(move.to.xy) < 1e-6
            if falls and move.to.z < before.z - 1e-6:
                down.append(frame.point(move.to.xy))
        before = move.to
    for index, at in enumerate(dict.fromkeys(down)):
        if index == 0:
            items.append(marks.circle(at, radius, Pen(0.25)))
            items.append(Words(at.plus(Point(radius + 0.8, -0.9)), "start", bold=True, halo=True))
        items.append(marks.circle(at, 0.7, pen=None, fill=0.0))
    return items


def _legend(kinds: set[Kind], top: float, width: float) -> list[Item]:
    """What each line means, two rows under the drawing; only lines that occur."""
    items: list[Item] = []
    x, y = 0.0, top - LEGEND - 1.5
    for kind, words, pen in PENS:
        if kind not in kinds:
            continue
        wide = 12.0 + text_width(words, 2.6) + 5.0
        if x + wide > width and x > 0:
            x, y = 0.0, y - LEGEND
        items.append(marks.line(Point(x, y + 0.9), Point(x + 10, y + 0.9), pen))
        items.append(Words(Point(x + 11.5, y), words))
        x += wide
    if x + 24.0 > width:
        x, y = 0.0, y - LEGEND
    items.append(marks.circle(Point(x + 1.5, y + 0.9), 0.7, pen=None, fill=0.0))
    items.append(Words(Point(x + 4.0, y), "down in air"))
    return items
