"""Sweeping pieces of path off the heights, one after the other, cell by cell.

For each piece the rows within reach, on each row the columns within reach, for each of these cells
the distance from the path. What stands too high there is met, counted and lowered. Where engaged
angles are measured, the front of that height (`simulate.front`) is read at places along the piece,
and opened by it once the tool has gone on a little. Distances are held nowhere: a front is opened
by working them out again.
"""

from __future__ import annotations

import math

import numpy as np

from compiler.compiled import compiled
from compiler.simulate.records import (
    F32,
    Cells,
    Flags,
    Floats,
    Ground,
    Record,
    Records,
    Rim,
    Row,
    Samples,
)

AIR = -1e6  # as `raster.AIR`
SKIN = 1e-3  # mm: thinner than that is no material
GRAZE = 0.02  # mm inside the rim: what a rapid meets there it meets; the cells' places are exact
STRAIGHT = 10.0  # radii: the rim meets cells along a greater arc as along a line
LAG = 0.3  # of the radius: the path behind the tool that does not count as swept yet
RIM = np.linspace(-math.pi / 2, math.pi / 2, 61)  # rad from the direction of travel
RIM_X, RIM_Y = np.cos(RIM), np.sin(RIM)
LEAST = 0.005  # mm beyond the front that counts as material
_EDGE = 0.01  # mm by which a row's stretch of columns is taken longer than need be
_NO_LENGTH, _SURE = 1e-9, 1e-6  # mm
_MANY, _FEW = 32, 8  # cells that are looked at together; distances worked out so, `records.FEW`
Numbers = tuple[float, ...]


@compiled
def _among(low: float, high: float, first: float, pitch: float, count: int) -> tuple[int, int]:
    """Which of evenly spaced centres lie between two places; the end is exclusive."""
    if not low <= high:
        return 0, 0
    begin = max(0.0, math.ceil((low - first) / pitch))
    end = min(float(count), math.floor((high - first) / pitch) + 1.0)
    return (int(begin), int(end)) if begin < end else (0, 0)


@compiled
def _within(slope: float, offset: float, low: float, high: float) -> tuple[float, float]:
    """The x for which slope * x + offset lies between low and high."""
    if abs(slope) < 1e-9:
        return (-math.inf, math.inf) if low <= offset <= high else (math.inf, -math.inf)
    a, b = (low - offset) / slope, (high - offset) / slope
    return min(a, b), max(a, b)


@compiled
def _stretch(p: Record, y: float, reach: float) -> tuple[float, float]:
    """From which x to which a row is within reach of a piece, or a little more."""
    reach += _EDGE
    if p.radius > 0:
        far, dy = p.radius + reach, y - p.cy
        if abs(dy) > far:
            return math.inf, -math.inf
        half = math.sqrt(far * far - dy * dy)
        low, high = _behind_arc(p, dy) if p.onward and p.measured else (math.inf, -math.inf)
        return (
            p.cx + (max(-half, high - _EDGE) if low == -math.inf else -half),
            p.cx + (min(half, low + _EDGE) if high == math.inf else half),
        )
    dy = y - p.y0
    # what lies behind the start of a level piece that goes onward is nearer to the one before it
    behind = -_EDGE if p.onward and p.measured else -reach
    low, high = _within(p.ux, dy * p.uy, behind, p.chord + reach)
    low_across, high_across = _within(-p.uy, dy * p.ux, -reach, reach)
    return p.x0 + max(low, low_across), p.x0 + min(high, high_across)


@compiled
def _behind_arc(p: Record, dy: float) -> tuple[float, float]:
    """The stretch of a row that lies behind an arc's start, and nearer to it than to its end."""
    ax, ay, bx, by = p.x0 - p.cx, p.y0 - p.cy, p.x1 - p.cx, p.y1 - p.cy
    low, high = _within(-p.sense * ay, p.sense * dy * ax, -math.inf, 0.0)
    nearer_low, nearer_high = _within(ax - bx, dy * (ay - by), 0.0, math.inf)
    return max(low, nearer_low), min(high, nearer_high)


@compiled
def _rows(p: Record, reach: float, cells: Cells) -> tuple[int, int]:
    """The rows within reach of a piece."""
    return _among(p.low_y - reach, p.high_y + reach, cells.y0, cells.pitch, cells.tall)


@compiled
def _columns(p: Record, y: float, reach: float, cells: Cells) -> tuple[int, int]:
    """The columns of a row within reach of a piece, or a few more."""
    low, high = _stretch(p, y, reach)
    low, high = max(low, p.low_x - reach), min(high, p.high_x + reach)
    return _among(low, high, cells.x0, cells.pitch, cells.wide)


@compiled
def _square_to_line(dx: float, dy: float, line: Numbers) -> float:
    """Squared distance of a place from a straight piece, from whose start it is dx and dy."""
    ux, uy, chord, start = line
    along = dx * ux + dy * uy
    across = dx * uy - dy * ux
    beyond = along - chord if along > chord else 0.0
    beyond = along - start if along < 0 else beyond
    return across * across + beyond * beyond


@compiled
def _square_to_arc(dx: float, dy: float, arc: Numbers) -> tuple[float, float]:
    """Of a place dx and dy from an arc's centre: the squared distance from the centre and the arc's
    radius where the arc is beside it, else the squared distance from the nearer end and 0.
    """
    ax, ay, bx, by, big, sense, onward = arc
    # before the normal at the start, or beyond that at the end
    outside = (sense * (dy * ax - dx * ay) < 0) | (sense * (dx * by - dy * bx) < 0)
    end = (dx - bx) * (dx - bx) + (dy - by) * (dy - by)
    start = (dx - ax) * (dx - ax) + (dy - ay) * (dy - ay)
    nearest = start if (start < end) & (not onward) else end
    return (nearest, 0.0) if outside else (dx * dx + dy * dy, big)


@compiled
def _line(p: Record) -> Numbers:
    """Direction and length of a straight piece, and from where what lies behind is measured."""
    return p.ux, p.uy, p.chord, p.chord if p.onward else 0.0


@compiled
def _arc(p: Record) -> Numbers:
    """An arc's ends from its centre, its radius and sense, and whether its start does not count."""
    ax, ay, bx, by = p.x0 - p.cx, p.y0 - p.cy, p.x1 - p.cx, p.y1 - p.cy
    return ax, ay, bx, by, p.radius, p.sense, p.onward


@compiled
def square(p: Record, x: float, y: float) -> float:
    """Squared distance of a place from a piece, mm2."""
    if p.radius > 0:
        found, ring = _square_to_arc(x - p.cx, y - p.cy, _arc(p))
        off = math.sqrt(found) - ring
        return float(off * off if ring > 0 else found)
    return _square_to_line(x - p.x0, y - p.y0, _line(p))


@compiled
def _along_row(p: Record, y: float, row: Row, begin: int, end: int) -> int:
    """For the places of a row what their distances from a piece are made of: the size of
    sqrt(found) - rings, from 0 on. Returns how many were worked out, a few more than asked: loops
    over plain numbers, so the compiler takes several at a time.
    """
    count = -(-(end - begin) // _FEW) * _FEW
    xs = row.xs[begin : begin + count]
    if p.radius > 0:
        _by_arc(y - p.cy, p.cx, _arc(p), xs, row.found, row.rings)
    else:
        _by_line(y - p.y0, p.x0, _line(p), xs, row.found, row.rings)
    return count


@compiled
def _by_line(dy: float, x0: float, line: Numbers, xs: Floats, found: Floats, rings: Floats) -> None:
    for i in range(xs.size):
        found[i] = _square_to_line(xs[i] - x0, dy, line)
        rings[i] = 0.0


@compiled
def _by_arc(dy: float, cx: float, arc: Numbers, xs: Floats, found: Floats, rings: Floats) -> None:
    for i in range(xs.size):
        found[i], rings[i] = _square_to_arc(xs[i] - cx, dy, arc)


@compiled
def _squared(found: Floats, rings: Floats) -> None:
    """What `_along_row` found as squared distances, in place."""
    for i in range(found.size):
        off = math.sqrt(found[i]) - rings[i]
        found[i] = off * off if rings[i] > 0 else found[i]


@compiled
def turned(p: Record) -> float:
    """The angle that an arc turns, rad."""
    ax, ay, bx, by = p.x0 - p.cx, p.y0 - p.cy, p.x1 - p.cx, p.y1 - p.cy
    return float(math.atan2(p.sense * (ax * by - ay * bx), ax * bx + ay * by) % math.tau)


@compiled
def last_over(p: Record, x: float, y: float, radius: float, turn: float) -> float:
    """How far along a piece a disc is when it is lowest over a place that it comes over, mm.

    The last moment that covers the place on the way down, the first one on the way up. `turn`: of
    an arc, as `turned` has it.
    """
    down = p.z1 < p.z0
    if p.radius > 0:
        return _last_on_arc(p, x, y, radius, turn, down)
    dx, dy = x - p.x0, y - p.y0
    along = dx * p.ux + dy * p.uy
    across = dx * p.uy - dy * p.ux
    half = math.sqrt(max(0.0, radius * radius - across * across))
    return float(min(max(along + half if down else along - half, 0.0), p.chord))


@compiled
def _last_on_arc(p: Record, x: float, y: float, radius: float, turn: float, down: bool) -> float:
    """Seen from the arc's centre a place at rho is covered while the disc is within the angle of
    cosine (rho^2 + R^2 - r^2) / (2 rho R) from it: law of cosines. On the way up as the way back.
    """
    big, dx, dy, sense = p.radius, x - p.cx, y - p.cy, p.sense if down else -p.sense
    ax, ay = (p.x0 - p.cx, p.y0 - p.cy) if down else (p.x1 - p.cx, p.y1 - p.cy)
    after = math.atan2(sense * (ax * dy - ay * dx), ax * dx + ay * dy)
    rho = max(math.hypot(dx, dy), 1e-9)
    cosine = (rho * rho + big * big - radius * radius) / (2 * rho * big)
    half = math.acos(min(max(cosine, -1.0), 1.0))
    last = after + half
    if after - half > turn:  # behind the start, it may be covered once more from the other side
        last -= math.tau
    last = min(max(last, 0.0), turn)
    if after - half + math.tau <= turn:
        last = turn
    return float(big * (last if down else turn - last))


@compiled
def _floor(p: Record, end: Record, x: float, y: float, off: float, turn: float) -> float:
    """To what height a tool cuts a place that it comes over, at a squared distance of `off`."""
    if p.z0 != p.z1:
        return float(p.z0 + last_over(p, x, y, end.radius, turn) * (p.z1 - p.z0) / p.length)
    if end.corner == 0 and end.slope == 0:
        return float(p.z0)
    beyond = max(0.0, math.sqrt(off) - end.flat)
    if end.corner > 0:
        return float(
            p.z0 + end.corner - math.sqrt(max(0.0, end.corner * end.corner - beyond * beyond))
        )
    return float(p.z0 + beyond * end.slope)


@compiled
def _above(row: F32, height: float) -> tuple[int, int]:
    """The stretch of a row in which all that stands above a height is."""
    limit = np.float32(height)
    if not _any_above(row, limit):  # as most rows
        return 0, 0
    first, end = 0, row.size
    while first + _MANY <= end and not _any_above(row[first : first + _MANY], limit):
        first += _MANY
    while row[first] <= limit:
        first += 1
    while end - _MANY >= first and not _any_above(row[end - _MANY : end], limit):
        end -= _MANY
    while row[end - 1] <= limit:
        end -= 1
    return first, end


@compiled
def _any_above(row: F32, limit: np.float32) -> bool:
    found = False
    for i in range(row.size):  # to the end: so many are looked at at a time
        found |= row[i] > limit
    return found


@compiled
def _take(p: Record, tool: Record, fact: Record, g: Ground, row: Row) -> bool:
    """Takes one piece off the heights; whether it met anything."""
    if p.z0 == p.z1 and tool.corner == 0 and tool.slope == 0:
        met, depth, volume, aside = _take_level(p, tool, fact, g, row)
    else:
        met, depth, volume, aside = _take_shaped(p, tool, fact, g, row)
    if met:
        fact.depth = max(fact.depth, depth)
        fact.removed += volume * g.cells.pitch * g.cells.pitch
        if p.measured and p.length > _NO_LENGTH:
            aside = min(1.0, math.sqrt(aside) + g.cells.pitch / tool.radius)
            fact.thickest = max(fact.thickest, math.sqrt(1.0 - aside * aside))
    return met


@compiled
def _standing(p: Record, j: int, radius: float, limit: float, g: Ground) -> tuple[int, int]:
    """The stretch of a row within reach of a piece in which all that stands above a height is."""
    i0, i1 = _columns(p, g.cells.y0 + j * g.cells.pitch, radius, g.cells)
    begin, end = _above(g.heights[j, i0:i1], limit)
    return i0 + begin, i0 + end


@compiled
def _take_level(
    p: Record, tool: Record, fact: Record, g: Ground, row: Row
) -> tuple[bool, float, float, float]:
    """Takes a level piece of a flat cutter off the heights: whether it met anything, how deep, how
    much in cells' areas, and the least `_aside`.
    """
    tip, radius, cuts, cells = p.z0, tool.radius, p.cuts, g.cells
    within, well = radius * radius, max(0.0, radius - (cells.pitch if cuts else GRAZE))
    well *= well
    floor = np.float32(tip)
    limit, least = tip + SKIN, max(tip, float(floor)) + SKIN
    through, touched = tip <= g.underside, fact.touched
    tight = p.measured and 0 < p.radius <= STRAIGHT * radius
    highest, volume, nearest = -math.inf, 0.0, math.inf
    first, last = _rows(p, radius, cells)
    for j in range(first, last):
        begin, end = _standing(p, j, radius, limit, g)
        if begin == end:
            continue
        y, xs, heights = cells.y0 + j * cells.pitch, row.xs[begin:end], g.heights[j, begin:end]
        off, bottoms = row.found, g.bottoms[j, begin:end]
        count = _along_row(p, y, row, begin, end)
        if p.radius > 0:
            _squared(off[:count], row.rings)
        for i in range(heights.size):
            old = float(heights[i])
            if off[i] > within or old <= least:
                continue
            highest = old if old > highest else highest
            near = _aside(p, radius, xs[i], y, off[i]) if tight else off[i]
            nearest = near if near < nearest else nearest
            if not touched and off[i] <= well:
                touched = fact.touched = True
                fact.touch_x, fact.touch_y = xs[i], y
            if cuts:
                out = through and floor <= bottoms[i]
                volume += old - float(bottoms[i] if out else floor)
                heights[i] = AIR if out else floor
    aside = min(1.0, nearest if tight else nearest / within)
    return highest > -math.inf, max(0.0, highest - float(floor)), volume, aside


@compiled
def _take_shaped(
    p: Record, tool: Record, fact: Record, g: Ground, row: Row
) -> tuple[bool, float, float, float]:
    """The same of slopes, and of cutters whose end is not flat: each cell has its own floor."""
    tip, radius, cuts, cells = min(p.z0, p.z1), tool.radius, p.cuts, g.cells
    is_flat = tool.corner == 0 and tool.slope == 0
    well = max(0.0, radius - (cells.pitch if cuts else GRAZE))
    met, depth, volume, aside, turn = False, 0.0, 0.0, 1.0, turned(p)
    # of a slope, what its lower end comes over surely it cuts down to there
    end_x, end_y = (p.x1, p.y1) if p.z1 < p.z0 else (p.x0, p.y0)
    lowest, over = _floor(p, tool, end_x, end_y, 0.0, turn), max(0.0, radius - _SURE) ** 2
    first, last = _rows(p, radius, cells)
    if p.z0 != p.z1 and first < last:
        fact.thickest = 1.0
    for j in range(first, last):
        begin, end = _standing(p, j, radius, tip + SKIN, g)
        y = cells.y0 + j * cells.pitch
        _squared(row.found[: _along_row(p, y, row, begin, end)], row.rings)
        for i in range(begin, end):
            x, off, old = row.xs[i], row.found[i - begin], float(g.heights[j, i])
            if old <= tip + SKIN or off > radius * radius:
                continue
            sure = p.z0 != p.z1 and (x - end_x) ** 2 + (y - end_y) ** 2 < over
            floor = float(np.float32(lowest if sure else _floor(p, tool, x, y, off, turn)))
            if old <= floor + SKIN:
                continue
            met = True
            depth = max(depth, old - (floor if is_flat else tip))
            aside = min(aside, _aside(p, radius, x, y, off))
            if not fact.touched and off <= well * well:
                fact.touched = True
                fact.touch_x, fact.touch_y = x, y
            if cuts:
                bottom = float(g.bottoms[j, i])
                through = tip <= g.underside and floor <= bottom
                volume += old - (bottom if through else floor)
                g.heights[j, i] = AIR if through else floor
    return met, depth, volume, aside


@compiled
def _aside(p: Record, radius: float, x: float, y: float, off: float) -> float:
    """How far aside the rim looks where it first comes to a place: its squared sine.

    0 straight ahead. A place whose squared distance is `off` from a straight path is met by
    sin^2 = off / r^2, one at rho from an arc's centre by the law of cosines.
    """
    if 0 < p.radius <= STRAIGHT * radius:
        dx, dy, big = x - p.cx, y - p.cy, p.radius
        cosine = (big * big + radius * radius - dx * dx - dy * dy) / (2 * big * radius)
        return float(cosine * cosine)
    return off / (radius * radius)


@compiled
def _meet_bands(p: Records, k: int, tool: Record, fact: Record, g: Ground) -> None:
    """Notes where shank or holder meet the stock in a motion, as it stands before the motion.

    A shank no thicker than the cutter follows where the cutter went; whether the flutes cover the
    cut is told by the motion's depth. `k` is the motion's first piece.
    """
    for band in range(2):
        above = tool.holder_above if band else tool.shank_above
        reach = (tool.holder_radius if band else tool.shank_radius) - g.cells.pitch
        n = k
        while reach > tool.radius and n < p.size and p[n].motion == p[k].motion:
            if p[n].sweeps and min(p[n].z0, p[n].z1) + above < g.top:
                over = _over(p[n], g, reach, tool.radius + g.cells.pitch) - above
                if over > max(SKIN, fact.contact):
                    fact.contact, fact.band = over, band
            n += 1


@compiled
def _over(p: Record, g: Ground, reach: float, least: float) -> float:
    """How far material stands above the tip between two distances from a piece."""
    found, cells, turn = AIR, g.cells, turned(p)
    first, last = _rows(p, reach, cells)
    for j in range(first, last):
        y = cells.y0 + j * cells.pitch
        i0, i1 = _columns(p, y, reach, cells)
        for i in range(i0, i1):
            x = cells.x0 + i * cells.pitch
            if least * least < square(p, x, y) <= reach * reach:
                z = p.z0
                if p.z0 != p.z1:
                    z += last_over(p, x, y, reach, turn) * (p.z1 - p.z0) / p.length
                found = max(found, float(g.heights[j, i]) - z)
    return found


@compiled
def _open(p: Record, tool: Record, row: Row, cells: Cells, front: F32) -> None:
    """A front is opened by what a piece swept, where it is not deep behind it yet."""
    first, last = _rows(p, tool.reach, cells)
    for j in range(first, last):
        y = cells.y0 + j * cells.pitch
        i0, i1 = _columns(p, y, tool.reach, cells)
        begin, end = _above(front[j, i0:i1], tool.deep)
        if begin < end:
            i0, i1 = i0 + begin, i0 + end
            count = _along_row(p, y, row, i0, i1)
            _beyond(tool.radius, tool.deep, row.found, row.rings, row.front[:count])
            _no_higher(row.front, front[j, i0:i1])


@compiled
def _beyond(radius: float, deep: float, found: Floats, rings: Floats, front: F32) -> None:
    """How far places are beyond the rim, but no deeper within than is asked."""
    for i in range(front.size):
        off = abs(math.sqrt(found[i]) - rings[i]) - radius
        front[i] = np.float32(off if off > deep else deep)


@compiled
def _no_higher(most: F32, front: F32) -> None:
    for i in range(front.size):
        front[i] = most[i] if most[i] < front[i] else front[i]


@compiled
def _engaged(
    front: F32, c: Cells, x: float, y: float, heading: float, radius: float, rim: Rim
) -> float:
    """The engaged angle: how much of the leading rim lies beyond the front, rad.

    Between cells the front is read bilinearly, between places of the rim as straight: of a stretch
    from a to b above zero is (max(a, 0) + max(b, 0)) / (|a| + |b|). Off the grid it reads as the
    grid's border, which is air.
    """
    ahead_x, ahead_y = math.cos(heading) * radius, math.sin(heading) * radius
    count = RIM_X.size
    for n in range(count):
        at_x = x + ahead_x * RIM_X[n] - ahead_y * RIM_Y[n]
        at_y = y + ahead_y * RIM_X[n] + ahead_x * RIM_Y[n]
        rim.u[n] = min(max((at_x - c.x0) / c.pitch, 0.0), c.wide - 1.001)
        rim.v[n] = min(max((at_y - c.y0) / c.pitch, 0.0), c.tall - 1.001)
    for n in range(count):
        i, j = int(rim.u[n]), int(rim.v[n])
        u, v = rim.u[n] - i, rim.v[n] - j
        low = front[j, i] + u * (front[j, i + 1] - front[j, i])
        high = front[j + 1, i] + u * (front[j + 1, i + 1] - front[j + 1, i])
        rim.value[n] = low + v * (high - low) - LEAST
    for n in range(count - 1):
        a, b = rim.value[n], rim.value[n + 1]
        rim.share[n] = (max(a, 0.0) + max(b, 0.0)) / (abs(a) + abs(b) + 2e-12)
    return float(math.pi * rim.share[: count - 1].sum() / (count - 1))


@compiled
def _measure(
    p: Record, radius: float, c: Cells, front: F32, s: Samples, begin: int, end: int, rim: Rim
) -> None:
    """Engaged angles at places spread evenly over a piece, its end among them: a corner's spike is
    there, the moment before the tool turns away.
    """
    start = math.atan2(p.y0 - p.cy, p.x0 - p.cx)
    for n in range(begin, end):
        along = (n - begin + 1) / (end - begin)
        if p.radius > 0:
            angle = start + p.sense * along * p.length / p.radius
            x, y = p.cx + p.radius * math.cos(angle), p.cy + p.radius * math.sin(angle)
            heading = angle + p.sense * math.pi / 2
        else:
            x, y = p.x0 + along * (p.x1 - p.x0), p.y0 + along * (p.y1 - p.y0)
            heading = math.atan2(p.uy, p.ux)
        s.x[n], s.y[n] = x, y
        s.angle[n] = _engaged(front, c, x, y, heading, radius, rim)


@compiled
def take_all(p: Records, tools: Records, g: Ground, facts: Records, met: Flags, row: Row) -> None:
    """Takes every piece off the heights in order, and notes which of them met anything."""
    for k in range(p.size):
        tool, fact = tools[p[k].tool], facts[p[k].motion]
        if p[k].first:
            _meet_bands(p, k, tool, fact, g)
        if p[k].sweeps:
            met[k] = _take(p[k], tool, fact, g, row)


@compiled
def follow(
    p: Records,
    met: Flags,
    begin: int,
    end: int,
    opened: int,
    tools: Records,
    cells: Cells,
    front: F32,
    height: float,
    s: Samples,
    row: Row,
    rim: Rim,
) -> int:
    """Reads the front of a height along the pieces from `begin` to `end`, and opens it by them.

    What was swept at this height or below by pieces from `opened` on is brought in first. Returns
    the piece before which all are.
    """
    lag = 0.0
    for k in range(begin, end):
        if k == begin or p[k].settled:
            lag = 0.0
        while opened < k and p[opened + 1].before <= p[k].before - lag:
            one = p[opened]
            if (one.measured or not one.sweeps) and one.z1 <= height:
                _open(one, tools[one.tool], row, cells, front)
            opened += 1
        if p[k].measured:
            radius = tools[p[k].tool].radius
            lag = LAG * radius
            if met[k] and p[k].length > _NO_LENGTH:
                _measure(p[k], radius, cells, front, s, s.begin[k], s.begin[k + 1], rim)
    return opened
