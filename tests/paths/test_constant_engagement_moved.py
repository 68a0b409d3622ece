"""Constant engagement cuts a part the same wherever and however it lies.

A walk is sensitive to rounding: where one pass ends by a hair sooner, the next begins elsewhere. So
strokes are not the same one by one. What holds, and is asked: all is cleared to the same edge but
for films, walls stay whole, the limit is held, and the cutting length agrees within `LENGTH`.
"""

import math
from collections.abc import Callable
from functools import cache

import pytest
import shapely
from clearing_task import clearing_task, swept
from engagement_measure import Measured, measure, samples
from shapely import Point, box
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement import plan

RADIUS = 5.0
LIMIT = math.radians(70)
FILM = 0.05  # mm; films as thin as chords and fitting leave are no work
LENGTH = 0.04  # of the cutting length; 0.022 was the most that was measured
FINE = 24  # chords to a quarter circle
INCH = 25.4

PLATE = box(0, 0, 32, 26)
PARTS: dict[str, BaseGeometry] = {
    "boss at an edge": Point(13, 8).buffer(6, FINE),
    "shoulder": box(-40, -40, 12, 14).buffer(-3).buffer(3),
}
Change = tuple[Callable[[BaseGeometry], BaseGeometry], Callable[[BaseGeometry], BaseGeometry], bool]


def by(*matrix: float) -> Callable[[BaseGeometry], BaseGeometry]:
    """Shapes to shapes; the matrix is shapely's a, b, d, e, x, y."""
    return lambda shape: affine_transform(shape, matrix)


def in_inches(shape: BaseGeometry) -> BaseGeometry:
    """As written in inches and read again: other in the last bits."""
    return shapely.transform(shape, lambda xy: xy / INCH * INCH)


CHANGES: dict[str, Change] = {  # the change, how it is undone, whether hands change places
    "as it is": (by(1, 0, 0, 1, 0, 0), by(1, 0, 0, 1, 0, 0), False),
    "moved": (by(1, 0, 0, 1, 371.53, -88.217), by(1, 0, 0, 1, -371.53, 88.217), False),
    "turned": (by(0, -1, 1, 0, 0, 0), by(0, 1, -1, 0, 0, 0), False),
    "mirrored": (by(-1, 0, 0, 1, 0, 0), by(-1, 0, 0, 1, 0, 0), True),
    "in inches": (in_inches, in_inches, False),
}


@cache
def cut(name: str, change: str) -> tuple[BaseGeometry, BaseGeometry, Measured, float]:
    """What there was to take and what was taken, as if undone; the measured path; its clearance."""
    do, undo, other = CHANGES[change]
    stock, keep = do(PLATE), do(PARTS[name])
    made = clearing_task(
        stock,
        keep,
        radius=RADIUS,
        limit=LIMIT,
        direction="conventional" if other else "climb",
        air=4,
        chords=FINE,
    )
    strokes = plan(made)
    found = measure(strokes, radius=RADIUS, stock=made.material, spacing=0.2, rim=1440)
    places = shapely.points(samples(strokes, 0.2)[0])
    clear = float(shapely.distance(keep, places).min()) - RADIUS
    return undo(made.material), undo(swept(strokes, RADIUS, chords=FINE)), found, clear


@pytest.mark.parametrize("name", PARTS)
@pytest.mark.parametrize("change", [change for change in CHANGES if change != "as it is"])
def test_the_cut_is_the_same(name: str, change: str) -> None:
    material, before, path, _ = cut(name, "as it is")
    _, after, other, clear = cut(name, change)
    unlike = before.symmetric_difference(after).intersection(material)
    assert unlike.buffer(-FILM / 2).area < 1e-3
    assert clear >= -1e-6
    full = other.feed_factor > 0.999
    over = full & (other.angle > LIMIT + math.radians(0.5))
    assert other.length[over].sum() < 0.003 * other.cutting_length()
    assert other.angle[full].max() < LIMIT + math.radians(15)
    assert other.cutting_length() == pytest.approx(path.cutting_length(), rel=LENGTH)
