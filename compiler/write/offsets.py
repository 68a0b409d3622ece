"""Several parts, each in a work offset of its own: how the program gets from one to the next.

Offsets may be set at any height, so the way is at the top of the machine's travel in Z (G53, NISTIR
6556 sec. 3.5.12): up, into the other offset, across, and only then down.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from compiler.job import Job
from compiler.motion import OperationPath, moved_path
from compiler.write.lines import Lines


def has_offsets(job: Job) -> bool:
    """Whether parts have work offsets of their own."""
    return job.table is not None and job.table.has_offsets


def offset_of(path: OperationPath, job: Job) -> str:
    """The work offset that a path is cut in."""
    return job.datum.work_offset if job.table is None else job.table.work_offsets[path.part - 1]


def in_their_offsets(paths: Iterable[OperationPath], job: Job) -> Iterator[OperationPath]:
    """The paths as their own work offsets count; those of a grid as they are."""
    for path in paths:
        if job.table is None or not job.table.has_offsets:
            yield path
        else:
            yield moved_path(path, job.table.places[path.part - 1].times(-1))


def go_home(lines: Lines, offset: str) -> None:
    """Z to the top of its travel, and into an offset where one is given."""
    lines.block("G0", "G53", "Z0")
    if offset:
        lines.block(offset)
