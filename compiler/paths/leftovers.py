"""What rows leave uncut, found by sweeping them, and the strokes that take it."""

from __future__ import annotations

import shapely

from compiler.geometry import Line, Point
from compiler.geometry.offset import grow
from compiler.paths.approach import Scene
from compiler.paths.cutting import Run, cut_all, runs_along
from compiler.paths.sets import SLIVER, area_of, polygons, removable, swell, to_visit
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Area

AGAIN = 5  # rounds, each but the first with rows nearer together


def wall_row(scene: Scene) -> list[Stroke]:
    """The one row at the walls, where material is left beside them."""
    outlines = scene.task.forbidden.outlines
    return cut_all(scene, runs_along(scene, outlines, still_to_visit(scene)))


def leftovers(scene: Scene, step: float) -> list[Stroke]:
    """Strokes for what the strokes so far leave of the work: rows nearer together, where needed."""
    strokes: list[Stroke] = []
    for round_number in range(AGAIN):
        if still_to_visit(scene).is_empty:
            break
        before = len(strokes)
        # first at the walls, which costs no offset; then half way between the earlier rows, at
        # their thirds, and so on
        offset = step / max(round_number, 1)
        for distance in (offset * 3, offset * 2, offset, 0.0) if round_number else (0.0,):
            region = grow(scene.task.forbidden, distance)
            runs = runs_along(scene, region.outlines, still_to_visit(scene))
            strokes += cut_all(scene, runs)
        strokes += cut_all(scene, _through_middles(scene))
        if len(strokes) == before and round_number:
            break
    return strokes


def still_to_visit(scene: Scene) -> Area:
    """Centres from which material of the work is still to be taken."""
    task = scene.task
    target = scene.progress.left_in(swell(task.work, task.radius + SLIVER))
    rest = removable(target, task.centres, task.radius)
    if rest.is_empty:
        return rest
    visit = to_visit(task.centres, rest, task.radius)
    # only where the task asks: elsewhere material may stand that is not this pass's
    return area_of(visit.intersection(swell(task.work, SLIVER)))


def _through_middles(scene: Scene) -> list[Run]:
    """A straight run across each piece that rows can't follow: posts, tips of necks."""
    task, found = scene.task, list[Run]()
    for piece in polygons(still_to_visit(scene)):
        box = piece.minimum_rotated_rectangle
        middle = piece.representative_point()
        corners = list(box.exterior.coords) if hasattr(box, "exterior") else []
        ends = [Point(middle.x, middle.y), Point(middle.x + 0.2 * task.radius, middle.y)]
        if len(corners) >= 4:
            a, b, c, d = (Point(*p) for p in corners[:4])
            if a.distance(b) < b.distance(c):
                ends = [_mid(a, b), _mid(c, d)]
            else:
                ends = [_mid(b, c), _mid(d, a)]
        line = shapely.LineString(ends).intersection(scene.allowed)
        for part in sorted(shapely.get_parts(line), key=lambda p: -p.length)[:1]:
            if part.geom_type == "LineString" and part.length > SLIVER:
                start, end = Point(*part.coords[0]), Point(*part.coords[-1])
                found.append(Run((Piece(Line(start, end)),)))
    return found


def _mid(a: Point, b: Point) -> Point:
    return Point((a.x + b.x) / 2, (a.y + b.y) / 2)
