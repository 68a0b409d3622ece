"""Clearing at a constant engaged angle: from the outside in, round islands, in loops in channels.

A cutter walks: at each step it turns as far to the right as the limit, the walls and its own
turning circle allow, and so it finds rows, spirals and the loops of channels by itself.

The road of this package: `left` (the material still there) and `room` (how far walls are) ->
`steps` (what the rim meets, and where to turn) -> `walk` (from one pause to the next) -> `trace`
(the walk as lines and arcs) -> `planner` (where to begin the next pass, and how to get there:
`links`, `field`, `detours`).
`corners` cuts what no loop fits into, `posts` what is too thin to be felt, `bore` opens closed
areas; `held` looks at the final moves of an operation once more.
"""

from compiler.paths.constant_engagement.planner import plan

__all__ = ["plan"]
