"""A program that begins as another did goes on from there: to the very same cut."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from stock import block, cutter, line, rapid, ring, turn

from compiler.read import Motion
from compiler.simulate import Begun, Cut, simulate


def first_moves(aside: float = 0.0) -> list[Motion]:
    """At two heights, with a helix, a slope, a rapid low across and a shank that meets stock."""
    return [
        rapid((-9, 5 + aside, 5), (-9, 5, -2)),
        line((-9, 5, -2), (30, 5, -2)),
        turn((30, 5, -2), (30, 15, -2), (30, 10), ccw=True),
        line((30, 15, -2), (12, 15, -2)),
        turn((12, 15, -2), (12, 15, -4), (14, 15), ccw=True),
        ring(10, 15, 2, -4),
        line((12, 15, -4), (20, 20, -3)),
        rapid((20, 20, -3), (20, 20, 5)),
        rapid((20, 20, 5), (40, 25, -1)),
        line((40, 25, -9), (40, 12, -9)),
    ]


def last_moves(shift: float) -> list[Motion]:
    return [
        line((40, 12, -2), (45 + shift, 12, -2)),
        line((45 + shift, 12, -4), (45 + shift, 28, -4)),
        ring(20, 12, 4 + shift, -6),
    ]


def cut(motions: list[Motion], *, pause: int = 0, begun: Begun | None = None) -> Cut:
    return simulate(
        motions,
        {1: cutter(8.0, flute_length=5.0, shank_diameter=10.0)},
        stock=block(0, 0, 50, 30),
        top=0.0,
        bottom=-10.0,
        pitch=0.4,
        pause=pause,
        begun=begun,
    )


def same(a: Cut, b: Cut) -> bool:
    pairs = [(a.heights, b.heights), (a.bottoms, b.bottoms)]
    for one, other in ((a.facts, b.facts), (a.samples, b.samples)):
        pairs += [(getattr(one, name), getattr(other, name)) for name in one.__slots__]
    equal = [np.array_equal(x, y, equal_nan=x.dtype.kind == "f") for x, y in pairs]
    return all(equal) and a.band_contacts == b.band_contacts


@pytest.mark.parametrize("shift", [0.0, 0.08, -0.08])
def test_going_on_gives_the_same_cut(shift: float) -> None:
    first = first_moves()
    before = cut(first + last_moves(0.0), pause=len(first))
    assert before.begun is not None and before.begun.met.any()
    assert len(before.begun.places.angle) > 20 and before.band_contacts
    motions = first + last_moves(shift)
    on, whole = cut(motions, begun=before.begun), cut(motions)
    assert same(on, whole)
    assert same(replace(before, begun=None), whole) == (shift == 0)


def test_another_beginning_is_cut_anew() -> None:
    first = first_moves()
    begun = cut(first + last_moves(0.0), pause=len(first)).begun
    other = first_moves(aside=0.001) + last_moves(0.0)
    assert same(cut(other, begun=begun), cut(other))
    fewer = first[:2]
    assert same(cut(fewer, begun=begun), cut(fewer))
