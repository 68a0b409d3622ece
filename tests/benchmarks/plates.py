"""Plates to clear, of our own construction: what stands is given as shapely shapes, mm."""

from __future__ import annotations

import math
import random

import shapely
from shapely import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

INCH = 25.4
FINE = 36  # chords to a quarter circle


def _inch(shape: BaseGeometry) -> BaseGeometry:
    return shapely.transform(shape, lambda xy: xy * INCH)


def seven_by_five() -> tuple[BaseGeometry, BaseGeometry]:
    """7 x 5 in: a disc, a rounded square, an L with an inside corner, a rail along one side."""
    disc = Point(1.5, 3.4).buffer(0.6, FINE)
    square = box(3.3, 3.2, 4.3, 4.2).buffer(0.2, FINE)
    ell = Polygon([(4.7, 1.2), (6.2, 1.2), (6.2, 1.7), (5.2, 1.7), (5.2, 2.3), (4.7, 2.3)])
    rail = box(-2, -2, 9, 0.4)
    return _inch(box(0, 0, 7, 5)), _inch(shapely.union_all([disc, square, ell, rail]))


def bosses(columns: int = 10, rows: int = 6, seed: int = 3) -> tuple[BaseGeometry, BaseGeometry]:
    """Round bosses on a plate, 60 on 12 x 12 in: channels from 1.1 cutter diameters of 0.5 in."""
    dice = random.Random(seed)
    dx, dy = 12 / 10, 12 / 6
    standing = []
    for i in range(columns):
        for j in range(rows):
            x = (i + 0.5) * dx
            y = (j + 0.5) * dy + (0.0 if i % 2 else 0.25)
            radius = 0.5 * (dx - 0.55) if (i + j) % 5 == 0 else dice.uniform(0.22, 0.325)
            standing.append(Point(x, y).buffer(radius, FINE))
    plate = box(0, 0, columns * dx, rows * dy)
    return _inch(plate), _inch(shapely.union_all(standing))


def crescent() -> tuple[BaseGeometry, BaseGeometry]:
    """A closed area like a sickle in a square plate."""
    area = Point(50, 50).buffer(40, FINE).difference(Point(66, 50).buffer(34, FINE))
    plate = box(0, 0, 100, 100)
    return plate, plate.difference(area)


def comb(diameter: float = 12.7) -> tuple[BaseGeometry, BaseGeometry]:
    """Slots of 1.05, 1.2, 1.5 and 2 cutter diameters, open to a free strip along one side."""
    plate = box(0, 0, 150, 100)
    teeth, x = [], 0.0
    for share in (1.05, 1.2, 1.5, 2.0):
        teeth.append(box(x, 0, x + 18, 70))
        x += 18 + share * diameter
    teeth.append(box(x, 0, 150, 70))
    teeth.append(box(0, -30, 150, 10))
    return plate, shapely.union_all(teeth)


def ring() -> tuple[BaseGeometry, BaseGeometry]:
    """A closed ring round a boss that sits off its middle."""
    plate = box(0, 0, 120, 120)
    area = Point(60, 60).buffer(50, FINE).difference(Point(68, 60).buffer(24, FINE))
    return plate, plate.difference(area)


def chance(seed: int) -> tuple[BaseGeometry, BaseGeometry]:
    """A plate with discs, boxes and bars thrown on it."""
    dice = random.Random(seed)
    plate = box(0, 0, 150, 110)
    standing: list[BaseGeometry] = []
    for _ in range(dice.randint(2, 7)):
        x, y = dice.uniform(0, 150), dice.uniform(0, 110)
        match dice.randrange(3):
            case 0:
                standing.append(Point(x, y).buffer(dice.uniform(3, 18), FINE))
            case 1:
                w, h = dice.uniform(8, 40), dice.uniform(8, 40)
                turned = shapely.affinity.rotate(box(x, y, x + w, y + h), dice.uniform(0, 90))
                standing.append(turned.buffer(dice.choice([0, 3]), FINE))
            case _:
                a = dice.uniform(0, math.tau)
                far = (x + 40 * math.cos(a), y + 40 * math.sin(a))
                standing.append(LineString([(x, y), far]).buffer(dice.uniform(2, 6), FINE))
    return plate, shapely.union_all(standing)
