"""Polylines turned into lines and tangent arcs, within a stated distance.

Cutting paths are decided with polygons, and a polygon's corner every half millimetre makes a
control slow down and a program long. Here such a run of points becomes few lines and arcs that
meet with a common tangent: pairs of arcs (biarcs) from vertex to vertex, each as long as the
tolerance allows. Where the run itself has a corner, the fit keeps it.

Source: biarc as in Bolton, "Biarc curves", Computer-Aided Design 7(2), 1975 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment

Points = NDArray[np.float64]

CORNER = math.radians(30)  # a sharper turn at one vertex is meant, and stays
FLATTEST = 2000.0  # mm; an arc of larger radius becomes a line where the tolerance allows
LONG = 1.0  # mm; the middle of a longer chord has to lie by the fitted curve too
SKEW = math.radians(1.5)  # how far a single arc's end may be turned from the run's direction
BASE = 1  # vertices on either side that a tangent is taken from
KINK = math.radians(2.0)  # how far a line may be turned from the run's direction at its ends
STRAIGHT = 4.0  # mm; shorter lines are left to arcs
WIDEST = 0.75 * math.pi  # the most one arc of a pair may sweep
Half = tuple[float, float, float, float, float, float, float]  # x0 y0 tx ty curvature x1 y1


def fit(points: Points, tolerance: float | Points) -> tuple[Segment, ...]:
    """Lines and arcs along `points` (n x 2, mm), nowhere farther from them than `tolerance`.

    The tolerance is one number or one for each point, mm. Starts and ends exactly at the ends. The
    vertices are taken to lie on the wanted curve, the middles of chords longer than `LONG` may be
    left by half as much again. Empty where there is no length.
    """
    allowed = np.broadcast_to(np.asarray(tolerance, dtype=np.float64), (len(points),))
    kept = _without_crumbs(points, float(allowed.min(initial=1.0)))
    clean, allowed = points[kept], allowed[kept]
    if len(clean) < 2:
        return ()
    segments: list[Segment] = []
    corners = _corners(clean)
    for first, last in pairwise(corners):
        part = slice(first, last + 1)
        segments.extend(_smooth(clean[part], allowed[part]))
    return tuple(segments)


def _without_crumbs(points: Points, tolerance: float) -> list[int]:
    """Which points to keep: those that crowd closer than the tolerance carry no direction."""
    if len(points) < 2:
        return list(range(len(points)))
    far = 4 * tolerance * tolerance
    rows = points.tolist()
    kept = [0]
    x, y = rows[0]
    for i, (px, py) in enumerate(rows[1:-1], 1):
        if (px - x) ** 2 + (py - y) ** 2 > far:
            kept.append(i)
            x, y = px, py
    ex, ey = rows[-1]
    while len(kept) > 1:
        px, py = rows[kept[-1]]
        if (px - ex) ** 2 + (py - ey) ** 2 > far:
            break
        kept.pop()
    if len(kept) > 1 or rows[0] != rows[-1]:
        kept.append(len(points) - 1)
    return kept


def _corners(points: Points) -> list[int]:
    """Indices where the run turns sharply, the ends included."""
    steps = np.diff(points, axis=0)
    angles = np.arctan2(steps[:, 1], steps[:, 0])
    turn = np.abs((np.diff(angles) + math.pi) % (2 * math.pi) - math.pi)
    return [0, *(np.nonzero(turn > CORNER)[0] + 1).tolist(), len(points) - 1]


def _tangents(points: Points) -> Points:
    """Unit directions at the vertices: of the circle through each and two others about it.

    The others are as far as `BASE` places away, so that small errors of neighbours don't turn it.
    """
    count = len(points)
    if count == 2:
        chord = points[1] - points[0]
        unit = chord / np.hypot(chord[0], chord[1])
        return np.vstack([unit, unit])
    index = np.arange(count)
    reach = np.minimum(np.minimum(index, count - 1 - index), BASE)
    before = points - points[index - reach]
    after = points[index + reach] - points
    # at the ends the circle is that of the next vertices, taken back along its own chord
    lb = np.hypot(before[:, 0], before[:, 1])[:, None]
    la = np.hypot(after[:, 0], after[:, 1])[:, None]
    with np.errstate(invalid="ignore", divide="ignore"):
        tangent = before / lb * la + after / la * lb
    for end, inner, sign in ((0, 1, 1.0), (count - 1, count - 2, -1.0)):
        wide = min(BASE, count // 2)
        near, far = end + int(sign) * wide, end + int(sign) * 2 * wide
        if not 0 <= far < count or wide < 1:
            near, far = inner, inner + int(sign) if count > 2 else inner
        tangent[end] = _end_tangent(points[end], points[near], points[far]) * sign
    norm = np.hypot(tangent[:, 0], tangent[:, 1])[:, None]
    # where neighbours coincide or the run doubles back there is no circle: the chord's direction
    lost = ~(norm[:, 0] > 1e-9)
    if lost.any():
        chord = points[np.minimum(index + 1, count - 1)] - points[np.minimum(index, count - 2)]
        tangent[lost] = chord[lost]
        norm = np.hypot(tangent[:, 0], tangent[:, 1])[:, None]
    answer: Points = tangent / norm
    return answer


def _end_tangent(end: Points, near: Points, far: Points) -> Points:
    """Direction, away from `end`, of the circle through three points, at the first of them."""
    one, two = near - end, far - near
    l1, l2 = np.hypot(one[0], one[1]), np.hypot(two[0], two[1])
    one, two = one / l1, two / l2
    middle = one * l2 + two * l1
    middle = middle / np.hypot(middle[0], middle[1])
    mirrored: Points = 2 * float(one @ middle) * one - middle
    return mirrored


def _smooth(points: Points, allowed: Points) -> list[Segment]:
    """Arcs and biarcs along a run without corners, each as long as fits."""
    tangents = _tangents(points)
    chords = np.hypot(*np.diff(points, axis=0).T)
    long = np.nonzero(chords > LONG)[0]
    middles = (points[long] + points[long + 1]) / 2
    at_middles = 0.75 * (allowed[long] + allowed[long + 1])
    segments: list[Segment] = []

    def fits(pair: tuple[Half, Half], i: int, j: int) -> bool:
        if j == i + 1:  # nothing between to hold it: it may not leave the chord
            return bool(_bulge(pair, points[i], points[j]) <= min(allowed[i], allowed[j]))
        first, end = np.searchsorted(long, (i, j))
        inner, bound = points[i + 1 : j], allowed[i + 1 : j]
        if end > first:
            inner = np.concatenate([inner, middles[first:end]])
            bound = np.concatenate([bound, at_middles[first:end]])
        return _within(pair, inner, bound)

    def single(i: int, j: int) -> tuple[Half, Half] | None:
        half = _half(*points[i].tolist(), *tangents[i].tolist(), *points[j].tolist())
        turned = 2 * math.atan2(*_cross_dot(half)) - math.atan2(*_turn(tangents[i], tangents[j]))
        aligned = abs((turned + math.pi) % (2 * math.pi) - math.pi) < SKEW
        return (half, half) if aligned and fits((half, half), i, j) else None

    def double(i: int, j: int) -> tuple[Half, Half] | None:
        pair = _biarc(points, tangents, i, j)
        return pair if fits(pair, i, j) else None

    def straight(i: int, j: int) -> tuple[Half, Half] | None:
        (x0, y0), (x1, y1) = points[i].tolist(), points[j].tolist()
        length = math.hypot(x1 - x0, y1 - y0)
        if length < STRAIGHT:
            return None
        tx, ty = (x1 - x0) / length, (y1 - y0) / length
        if max(abs(math.atan2(*_turn(tangents[k], (tx, ty)))) for k in (i, j)) > KINK:
            return None
        half = (x0, y0, tx, ty, 0.0, x1, y1)
        return (half, half) if fits((half, half), i, j) else None

    i, last, stride = 0, len(points) - 1, 8
    while i < last:
        end, line = _farthest(straight, i, last, max(stride, 8))
        if line is not None:
            segments.append(Line(Point(*line[0][:2]), Point(*line[0][5:])))
            tangents[end] = line[0][2:4]
            stride, i = max(2, end - i), end
            continue
        one, arc = _farthest(single, i, last, stride)
        two, pair = _farthest(double, i, last, stride)
        if arc is not None and one - i >= 0.6 * (two - i):
            tangents[one] = _end_direction(arc[0])
            segments.append(_segment(arc[0]))
            stride, i = max(2, one - i), one
            continue
        if pair is None:
            segments.append(Line(Point(*points[i].tolist()), Point(*points[two].tolist())))
        else:
            segments.extend(_segments(pair, float(allowed[i : two + 1].min())))
        stride, i = max(2, two - i), two
    return segments


def _bulge(pair: tuple[Half, Half], start: Points, end: Points) -> float:
    """The most by which a short pair of arcs, or one arc given twice, leaves its chord."""
    first, second = pair
    x0, y0 = map(float, start)
    x1, y1 = map(float, end)
    length = math.hypot(x1 - x0, y1 - y0)
    if first is second:
        return length * abs(math.tan(_sweep(first) / 4)) / 2
    mx, my = second[:2]
    height = abs((x1 - x0) * (my - y0) - (y1 - y0) * (mx - x0)) / length
    sides = ((mx - x0, my - y0, first), (x1 - mx, y1 - my, second))
    return height + max(
        math.hypot(x, y) * abs(math.tan(_sweep(half) / 4)) / 2 for x, y, half in sides
    )


def _farthest(
    attempt: Callable[[int, int], tuple[Half, Half] | None], i: int, last: int, stride: int
) -> tuple[int, tuple[Half, Half] | None]:
    """How far from i an attempt reaches: stretched while it fits, then the gap is halved."""
    low, found = i + 1, attempt(i, i + 1)
    high, bad = min(i + stride, last), last + 1
    while high > low:
        pair = attempt(i, high)
        if pair is None:
            bad = high
            high = (low + bad) // 2
        else:
            low, found = high, pair
            high = min(i + 2 * (low - i), last) if bad > last else (low + bad) // 2
    return low, found


def _cross_dot(half: Half) -> tuple[float, float]:
    """Sine and cosine, times its length, of the angle from the first tangent to the chord."""
    x0, y0, tx, ty, _, x1, y1 = half
    return tx * (y1 - y0) - ty * (x1 - x0), tx * (x1 - x0) + ty * (y1 - y0)


def _turn(one: Points, two: Points | tuple[float, float]) -> tuple[float, float]:
    """Sine and cosine of the angle from one direction to another."""
    return (
        float(one[0] * two[1] - one[1] * two[0]),
        float(one[0] * two[0] + one[1] * two[1]),
    )


def _end_direction(half: Half) -> Points:
    """Unit tangent at the end of an arc: the first mirrored at the chord."""
    x0, y0, tx, ty, _, x1, y1 = half
    chord = np.array([x1 - x0, y1 - y0])
    chord /= np.hypot(chord[0], chord[1])
    start = np.array([tx, ty])
    mirrored: Points = 2 * float(chord @ start) * chord - start
    return mirrored


def _biarc(points: Points, tangents: Points, i: int, j: int) -> tuple[Half, Half]:
    """Two arcs from point i to point j that keep the tangents there and share one between."""
    (x0, y0), (x1, y1) = points[i].tolist(), points[j].tolist()
    (ax, ay), (bx, by) = tangents[i].tolist(), tangents[j].tolist()
    vx, vy = x1 - x0, y1 - y0
    vt = vx * (ax + bx) + vy * (ay + by)
    vv = vx * vx + vy * vy
    spread = 2 * (1 - (ax * bx + ay * by))
    if spread > 1e-9:
        reach = (-vt + math.sqrt(max(vt * vt + spread * vv, 0.0))) / spread
    else:
        along = vx * bx + vy * by
        reach = vv / (4 * along) if along > 1e-12 else 1e12
    mx = (x0 + x1 + reach * (ax - bx)) / 2
    my = (y0 + y1 + reach * (ay - by)) / 2
    first = _half(x0, y0, ax, ay, mx, my)
    # the second arc is found from its far end, walked backwards
    back = _half(x1, y1, -bx, -by, mx, my)
    k = -back[4]
    # direction at the middle: the second arc's tangent there
    wx, wy = mx - x1, my - y1
    ww = wx * wx + wy * wy
    if ww == 0.0:
        return first, (mx, my, bx, by, 0.0, x1, y1)
    d = (-bx * wx - by * wy) / ww
    tx, ty = -(2 * d * wx + bx), -(2 * d * wy + by)
    return first, (mx, my, tx, ty, k, x1, y1)


def _half(x0: float, y0: float, tx: float, ty: float, x1: float, y1: float) -> Half:
    """The arc that leaves one point along a tangent and runs through another; curvature, 1/mm."""
    wx, wy = x1 - x0, y1 - y0
    ww = wx * wx + wy * wy
    k = 2 * (tx * wy - ty * wx) / ww if ww > 0 else 0.0
    return (x0, y0, tx, ty, k, x1, y1)


def _sweep(half: Half) -> float:
    """Turned angle, rad, positive counter-clockwise."""
    x0, y0, tx, ty, _, x1, y1 = half
    wx, wy = x1 - x0, y1 - y0
    return 2 * math.atan2(tx * wy - ty * wx, tx * wx + ty * wy)


def _within(pair: tuple[Half, Half], inner: Points, allowed: Points) -> bool:
    """Whether a biarc stays by the points and chord middles between its ends."""
    first, second = pair
    if abs(_sweep(first)) > WIDEST or abs(_sweep(second)) > WIDEST:
        return False
    mx, my, tx, ty = second[:4]
    after = (inner[:, 0] - mx) * tx + (inner[:, 1] - my) * ty > 0
    off = np.where(after, _off(second, inner), _off(first, inner))
    return bool((off <= allowed).all())


def _off(half: Half, points: Points) -> Points:
    """Distance of points from the whole circle (or line) of an arc, stable for flat ones."""
    x0, y0, tx, ty, k = half[:5]
    wx, wy = points[:, 0] - x0, points[:, 1] - y0
    f = k * (wx * wx + wy * wy) - 2 * (tx * wy - ty * wx)
    distance: Points = np.abs(f) / (1 + np.sqrt(np.maximum(1 + k * f, 0.0)))
    return distance


def _segments(pair: tuple[Half, Half], tolerance: float) -> list[Segment]:
    """The biarc as lines and arcs; one piece where both halves are of one circle or straight."""
    first, second = pair
    x0, y0, tx, ty = first[:4]
    x1, y1 = second[5:]
    whole = _half(x0, y0, tx, ty, x1, y1)
    chord = math.hypot(x1 - x0, y1 - y0)
    bend = max(abs(first[4]), abs(second[4])) * chord * chord / 8
    if bend < 0.2 * tolerance:
        return [Line(Point(x0, y0), Point(x1, y1))]
    if (
        abs(first[4] - second[4]) * chord * chord / 16 < 0.2 * tolerance
        and abs(_sweep(whole)) < math.pi
    ):
        return [_segment(whole)]
    return [
        _segment(half) for half in pair if math.hypot(half[5] - half[0], half[6] - half[1]) > 1e-9
    ]


def _segment(half: Half) -> Segment:
    x0, y0, _, _, k, x1, y1 = half
    start, end = Point(x0, y0), Point(x1, y1)
    chord = start.distance(end)
    if abs(k) * FLATTEST < 1 and abs(k) * chord * chord < 0.004:
        return Line(start, end)
    # centre on the chord's middle line, so that both ends are equally far from it
    sweep = _sweep(half)
    if abs(sweep) < 1e-6:
        return Line(start, end)
    height = chord / 2 / math.tan(sweep / 2)
    left = Point(-(y1 - y0) / chord, (x1 - x0) / chord)
    middle = Point((x0 + x1) / 2, (y0 + y1) / 2)
    return Arc(start, end, middle.plus(left, height), sweep > 0)
