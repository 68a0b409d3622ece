"""Clearing at a constant engaged angle: from the outside in, round islands, in loops in channels.

The road of this package: `ground` (what is left, in tiles) -> `view` (a window on it, its fronts)
-> `advance` (a bite and its path) -> `rim` (what that path would engage) -> `planner` (the loop).
"""

from compiler.paths.constant_engagement.planner import plan

__all__ = ["plan"]
