"""Which pieces can be part of no loop: dead ends, and lines that only lead from loop to loop.

In the words of graphs these are the bridges, found in one depth-first pass: R. E. Tarjan, "A note
on finding the bridges of a graph", Information Processing Letters 2 (1974) 160-161 [from memory].
"""

from __future__ import annotations

from compiler.drawing.ends import Ends


def bridges(ends: Ends) -> set[int]:
    """The pieces whose removal would part what they join; dead ends are such pieces."""
    order: dict[int, int] = {}
    low: dict[int, int] = {}
    found: set[int] = set()
    for root in ends.meeting:
        if root in order:
            continue
        order[root] = low[root] = len(order)
        # a node, the piece it was come by, and how many of its pieces have been looked at
        stack: list[tuple[int, int, int]] = [(root, -1, 0)]
        while stack:
            node, came_by, looked = stack.pop()
            pieces = ends.meeting[node]
            if looked < len(pieces):
                stack.append((node, came_by, looked + 1))
                piece = pieces[looked]
                if piece == came_by:
                    continue
                start, end = ends.nodes[piece]
                other = end if start == node else start
                if other in order:
                    low[node] = min(low[node], order[other])
                else:
                    order[other] = low[other] = len(order)
                    stack.append((other, piece, 0))
            elif stack:
                parent = stack[-1][0]
                low[parent] = min(low[parent], low[node])
                if low[node] > order[parent]:
                    found.add(came_by)
    return found
