"""One part's motions for all parts on the table, in the order that the plan gives.

By tool, the parts are gone through to and fro, so that no way leads back over all of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from compiler.job.model import Job, Table
from compiler.motion import Motions, OperationPath, moved_path
from compiler.part.model import Part
from compiler.plan.model import OperationList


def laid_out(job: Job, plan: OperationList, motions: Motions) -> Motions:
    """The motions of all parts, in the coordinates of the first one's datum."""
    table = job.table
    if table is None or plan.parts is None:
        return motions
    runs = [list(run) for _, run in groupby(motions.paths, key=lambda path: path.tool)]
    order = _by_tool if plan.parts.order == "by_tool" else _by_part
    return Motions(tuple(_at(path, table, part) for path, part in order(runs, len(table.places))))


def room_beside(job: Job, part: Part, plan: OperationList, motions: Motions) -> OperationList:
    """The plan, saying how far cutters go beyond a blank: `motions` are those of a single part."""
    if plan.parts is None:
        return plan
    low_x, low_y, high_x, high_y = part.stock.bounds
    most = 0.0
    for path in motions.paths:
        radius = job.tool(path.tool).radius
        for move in path.moves:
            x, y = move.to.x, move.to.y
            beyond = max(low_x - x, x - high_x, low_y - y, y - high_y) + radius
            most = max(most, beyond)
    rounded = math.ceil(most * 10) / 10
    parts = plan.parts.model_copy(update={"beside_mm": rounded})
    return plan.model_copy(update={"parts": parts})


def _by_tool(
    runs: Sequence[Sequence[OperationPath]], count: int
) -> Iterator[tuple[OperationPath, int]]:
    for number, run in enumerate(runs):
        parts = range(count) if number % 2 == 0 else range(count - 1, -1, -1)
        for part in parts:
            yield from ((path, part) for path in run)


def _by_part(
    runs: Sequence[Sequence[OperationPath]], count: int
) -> Iterator[tuple[OperationPath, int]]:
    for part in range(count):
        yield from ((path, part) for run in runs for path in run)


def _at(path: OperationPath, table: Table, part: int) -> OperationPath:
    return replace(moved_path(path, table.places[part]), part=part + 1)
