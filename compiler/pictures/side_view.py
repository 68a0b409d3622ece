"""The part from the front, under the view from above and at its scale: the heights that matter."""

from compiler.geometry import Point
from compiler.job import Job
from compiler.part.model import Part
from compiler.pictures import marks
from compiler.pictures.display import CHAIN, HIDDEN, OUTSIDE, WIDE, Item, Picture, text_width
from compiler.pictures.frame import Box, Frame
from compiler.pictures.ordinates import PITCH, beside, spread
from compiler.pictures.part_view import LEFT, RIGHT, Scene, scene, value

ABOVE, BELOW = 11.0, 4.0  # mm on paper
USUAL = 0.85  # of the most that a word may need is what words usually do
BESIDE = 7.8  # mm on paper from the drawing to what is written beside it
MOST_HEIGHTS = 14


def side_drawing(
    job: Job, part: Part, floor: float, scale: tuple[str, float], view: Scene | None = None
) -> Picture:
    """The part seen along +Y.

    Args:
        job: For units.
        part: What to draw.
        floor: The deepest that is cut, Z in mm.
        scale: Its name and factor.
        view: What `scene` makes of the part, where it is at hand.
    """
    view = view or scene(part)
    name, factor = scale
    low, high = part.stock_bottom, max(part.clearance, part.stock_top)
    named = _named(part, view, floor)
    at = spread(sorted(z * factor for z in named), PITCH)
    under = BELOW + max(0.0, low * factor - at[0])  # room for values that had to move apart
    over = ABOVE + max(0.0, at[-1] - high * factor)
    frame = Frame(name, factor, Point(view.reach[0] - LEFT / factor, low - under / factor))
    values = max(text_width(f"Z {value(z, job.units)}", 2.6) for z in named)
    width = (view.reach[2] - view.reach[0]) * factor + LEFT + max(RIGHT, BESIDE + values)
    height = (high - low) * factor + over + under
    x0, _, x1, _ = view.stock.bounds

    def box(a: float, b: float, c: float, d: float) -> tuple[Point, ...]:
        return tuple(frame.point(Point(*p)) for p in ((a, b), (c, b), (c, d), (a, d)))

    items: list[Item] = [marks.polygon(box(x0, low, x1, floor), fill=0.93, pen=WIDE)]
    for top, (left, _, right, _) in _far_to_near(view):
        if top > floor:
            items.append(marks.polygon(box(left, floor, right, top), fill=1.0, pen=WIDE))
    items.append(marks.polygon(box(x0, low, x1, part.stock_top), fill=None, pen=OUTSIDE))
    for _, top, region in view.obstacles:
        for a, _, c, _ in (o.bounds for o in region.outlines if o.area > 0):
            base = low if top > low else top - 3.0 / factor
            items.append(marks.polygon(box(a, base, c, top), fill=0.8, pen=OUTSIDE))
    left_end = frame.point(Point(view.reach[0], 0)).x
    right_end = frame.point(Point(view.reach[2], 0)).x
    for z, pen in ((part.clearance, HIDDEN), (part.lowest_cut, CHAIN)):
        y = frame.point(Point(0, z)).y
        items.append(marks.line(Point(left_end - 2, y), Point(right_end + 2, y), pen))
    items += _heights(job, named, frame, (left_end, right_end))
    if view.reach[0] <= 0 <= view.reach[2] and low <= 0 <= high:
        radius = min(1.6, max(0.8, (high - low) * factor / 2))
        items += marks.zero(frame.point(Point(0, 0)), radius)
    items += marks.head(f"From the front, scale {name}", height, factor, job.units)[:1]
    return Picture(width, height, tuple(items), factor)


def _far_to_near(view: Scene) -> list[tuple[float, Box]]:
    """Tops and boxes of all pieces that stand, the farthest first: nearer ones hide them."""
    pieces = [(top, o.bounds) for _, top, r in view.standing for o in r.outlines if o.area > 0]
    return sorted(pieces, key=lambda piece: (-piece[1][1], piece[1][0]))


def _named(part: Part, view: Scene, floor: float) -> dict[float, str]:
    """The heights that matter, each with its name; the weightier name where several meet."""
    named: dict[float, str] = {}
    for z, words in (
        (part.stock_top, "stock top"),
        (part.clearance, "clearance"),
        (floor, "floor"),
        (part.lowest_cut, "lowest cut"),
        (part.stock_bottom, "underside"),
        *((top, f"{name} top") for name, top, _ in view.standing),
        *((blocked.top, blocked.name) for blocked in part.obstacles),
    ):
        if part.stock_bottom - 1e-9 <= z <= max(part.clearance, part.stock_top) + 1e-9:
            named.setdefault(round(z, 6), words)
    if len(named) > MOST_HEIGHTS:
        kept = sorted(named)
        named = {z: named[z] for z in kept[:: -(-len(kept) // MOST_HEIGHTS)]}
    return named


def _heights(
    job: Job, named: dict[float, str], frame: Frame, ends: tuple[float, float]
) -> list[Item]:
    """Z values at the right, what they are at the left."""
    places = sorted((frame.point(Point(0, z)).y, z) for z in named)
    values = [(y, f"Z {value(z, job.units)}") for y, z in places]
    words = [(y, _short(named[z])) for y, z in places]
    return [
        *beside(values, ends[1], left=False, reach=3.0, origin=frame.point(Point(0, 0)).y),
        *beside(words, ends[0], left=True, reach=3.0),
    ]


def _short(name: str) -> str:
    """A name that fits beside the drawing."""
    room = (LEFT - BESIDE) / USUAL
    if text_width(name, 2.6) <= room:
        return name
    while text_width(name + "…", 2.6) > room:
        name = name[:-1].rstrip()
    return name + "…"
