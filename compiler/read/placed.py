"""A program that goes through several work offsets, laid out in the coordinates of the first.

Where each offset lies on the table is not in the text: it is given. Between offsets the reader
knows no position, so nothing is made up for the way from one to the next.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from compiler.geometry import Point
from compiler.read.model import Motion, Place, Program


def placed(program: Program, places: Mapping[str, Point]) -> Program:
    """The same program with every motion where it is on the table."""
    blocks = tuple(
        replace(block, motions=tuple(_placed(motion, places) for motion in block.motions))
        if block.motions
        else block
        for block in program.blocks
    )
    return replace(program, blocks=blocks)


def _placed(motion: Motion, places: Mapping[str, Point]) -> Motion:
    by = places.get(motion.state.work_offset)
    if by is None:
        return motion
    return replace(
        motion,
        start=_moved(motion.start, by),
        end=_moved(motion.end, by),
        centre=None if motion.centre is None else motion.centre.plus(by),
    )


def _moved(place: Place, by: Point) -> Place:
    return replace(place, x=place.x + by.x, y=place.y + by.y)
