"""A path somewhere else on the table."""

from __future__ import annotations

from dataclasses import replace

from compiler.geometry import Point
from compiler.motion.model import Move, OperationPath, Point3, Turn


def moved_path(path: OperationPath, by: Point) -> OperationPath:
    """The same path, moved in plan by a vector, mm."""
    return replace(
        path,
        moves=tuple(_moved(move, by) for move in path.moves),
        holes=tuple(replace(hole, at=hole.at.plus(by)) for hole in path.holes),
    )


def _moved(move: Move, by: Point) -> Move:
    to = Point3(move.to.x + by.x, move.to.y + by.y, move.to.z)
    if isinstance(move, Turn):
        return replace(move, to=to, centre=move.centre.plus(by))
    return replace(move, to=to)
