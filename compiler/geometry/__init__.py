"""Exact outlines of lines and arcs, and what can be done with them. Millimetres, radians."""

from compiler.geometry.outline import EMPTY, Chain, Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment

__all__ = ["EMPTY", "Arc", "Chain", "Line", "Outline", "Point", "Region", "Segment"]
