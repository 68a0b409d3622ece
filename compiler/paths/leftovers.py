"""What rows leave uncut, found by sweeping them, and the strokes that take it."""

from __future__ import annotations

from itertools import pairwise

import shapely
from shapely import LineString, Polygon

from compiler.geometry import Line, Point
from compiler.geometry.offset import grow
from compiler.paths.approach import Scene
from compiler.paths.cutting import Run, cut_all, laid, runs_along
from compiler.paths.run import pieces_of, polyline
from compiler.paths.sets import CHORD, SLIVER, area_of, polygons, removable, swell, to_visit
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Area

AGAIN = 5  # rounds, each but the first with rows nearer together


def wall_row(scene: Scene) -> list[Stroke]:
    """The one row at the walls, where material is left beside them."""
    ways = laid(scene, scene.task.forbidden.outlines)
    return cut_all(scene, runs_along(scene, ways, still_to_visit(scene)))


def leftovers(scene: Scene, step: float) -> list[Stroke]:
    """Strokes for what the strokes so far leave of the work, one place after the other."""
    strokes: list[Stroke] = []
    places = polygons(still_to_visit(scene))
    while places:
        at = strokes[-1].pieces[-1].segment.end if strokes else Point(*places[0].bounds[:2])
        spot = shapely.Point(at)
        nearest = min(range(len(places)), key=lambda i: round(places[i].distance(spot), 6))
        strokes += _clear(scene, places.pop(nearest), step)
    return strokes


def _clear(scene: Scene, place: Polygon, step: float) -> list[Stroke]:
    """Strokes for one place: at its walls and edges, across it, then rows ever nearer together."""
    strokes: list[Stroke] = []
    for round_number in range(AGAIN):
        before = len(strokes)
        # the walls themselves cost no offset; then half way between the earlier rows, at their
        # thirds, and so on
        offset = step / max(round_number, 1)
        for distance in (offset * 3, offset * 2, offset, 0.0) if round_number else (0.0,):
            work = still_to_visit(scene, place)
            if work.is_empty:
                return strokes
            region = grow(scene.task.forbidden, distance)
            strokes += cut_all(scene, runs_along(scene, laid(scene, region.outlines), work))
        if round_number == 0:
            strokes += cut_all(scene, _along_edges(scene, place))
        strokes += cut_all(scene, _through_middles(scene, place))
        if len(strokes) == before and round_number:
            break
    return strokes


def _along_edges(scene: Scene, place: Polygon) -> list[Run]:
    """Runs along the edge of the allowed centres where no outline runs: beside uncut material."""
    work = still_to_visit(scene, place)
    if work.is_empty:
        return []
    edge = scene.task.centres.boundary.intersection(swell(work, 2 * CHORD))
    walls = shapely.MultiLineString(
        [polyline(outline.segments) for outline in scene.task.forbidden.outlines]
    )
    found: list[Run] = []
    for part in shapely.get_parts(shapely.line_merge(edge.difference(walls.buffer(4 * CHORD)))):
        if isinstance(part, LineString) and part.length > SLIVER:
            points = [Point(x, y) for x, y in part.simplify(CHORD).coords]
            lines = [Line(a, b) for a, b in pairwise(points) if a != b]
            found.append(Run(pieces_of(lines)))
    return found


def still_to_visit(scene: Scene, place: Polygon | None = None) -> Area:
    """Centres from which material of the work is still to be taken; only those in the place."""
    task = scene.task
    asked = task.work if place is None else place
    target = scene.progress.left_in(swell(asked, task.radius + SLIVER))
    rest = removable(target, task.centres, task.radius)
    if rest.is_empty:
        return rest
    visit = to_visit(task.centres, rest, task.radius)
    # only where the task asks: elsewhere material may stand that is not this pass's
    return area_of(visit.intersection(swell(asked, SLIVER)))


def _through_middles(scene: Scene, place: Polygon) -> list[Run]:
    """A straight run across each piece that rows can't follow: posts, tips of necks."""
    task, found = scene.task, list[Run]()
    for piece in polygons(still_to_visit(scene, place)):
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
