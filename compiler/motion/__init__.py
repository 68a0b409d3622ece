"""Motions between the planner and the control's text: values only, no planning."""

from compiler.motion.model import (
    Hole,
    Motions,
    Move,
    OperationPath,
    Point3,
    Rapid,
    Role,
    Side,
    Straight,
    Turn,
)
from compiler.motion.moved import moved_path

__all__ = [
    "Hole",
    "Motions",
    "Move",
    "OperationPath",
    "Point3",
    "Rapid",
    "Role",
    "Side",
    "Straight",
    "Turn",
    "moved_path",
]
