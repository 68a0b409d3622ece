"""Everything that the page plays, as one JSON value: read back from the program's own text.

The program is read again and cut again here, on the page's coarser grid, so that what is shown is
what the text says and not what was planned.
"""

import json
import math
from typing import Any

import numpy as np
import numpy.typing as npt

from compiler.job import Job
from compiler.judge.model import Report
from compiler.judge.wear import wear_offsets
from compiler.part.model import Part
from compiler.part.table import spread
from compiler.plan.model import OperationList
from compiler.read import Dialect, Program, columns, placed, read
from compiler.simulate import Blank, Cut, Grid, motion_times, on_grid, simulate
from compiler.simulate.raster import AIR
from compiler.view.engagement import stretches
from compiler.view.shapes import labels, part_shapes, tool_shape
from compiler.view.timeline import timeline

# A prime: the pitch is then no round figure, and walls at round figures do not run through the
# cells' centres, where rounding would decide whether a cell is cut.
CELLS = 249_989
FINEST = 0.05  # mm


def page_pitch(part: Part) -> float:
    """The pitch of the page's heights, mm: about a quarter of a million cells over the stock."""
    x0, y0, x1, y1 = part.stock.bounds
    return max(FINEST, round(math.sqrt((x1 - x0) * (y1 - y0) / CELLS), 7))


def read_program(job: Job, plan: OperationList, text: str) -> Program:
    """The program in the job's dialect, wear offsets at 0. A proven text is never refused."""
    offsets = {offset.number: 0.0 for offset in wear_offsets(job, plan)}
    program = read(text, dialect=Dialect.of(job.machine.program), offsets=offsets).value
    assert program is not None, "a proven program can be read"
    return program


def cut_program(
    job: Job, part: Part, plan: OperationList, program: Program, blank: Blank | None = None
) -> Cut:
    """The program cut on the page's grid; `blank` is what it begins with, on that grid."""
    return simulate(
        program.motions,
        {tool.number: tool for tool in job.tools},
        stock=part.stock,
        top=part.stock_top,
        bottom=part.stock_bottom,
        pitch=page_pitch(part),
        blank=blank,
        skin=max((op.floor_allowance_mm for op in plan.operations), default=0.0),
    )


def page_data(
    job: Job,
    part: Part,
    plan: OperationList,
    report: Report,
    text: str,
    owners: tuple[str | None, ...],
    blank: Blank | None = None,
) -> dict[str, Any]:
    """The page's data; see `page` for the arguments."""
    program = read_program(job, plan, text)
    if job.table is not None:
        part = spread(part, job.table)
        if job.table.has_offsets:
            places = dict(zip(job.table.work_offsets, job.table.places, strict=True))
            program = placed(program, places)
    begins = (
        None if blank is None else on_grid(blank, Grid.over(part.stock.bounds, page_pitch(part)))
    )
    machine = job.machine
    seconds = motion_times(
        columns(program.motions),
        rapid=machine.rapid,
        acceleration=machine.acceleration,
        most_feed=machine.max_feed,
    )
    cut = cut_program(job, part, plan, program, begins)
    counts, angles = stretches(program.motions, cut)
    names = [operation.id for operation in plan.operations]
    return {
        "version": "view/1",
        "job": _title(job, report),
        "operations": _operations(plan, report),
        "tools": [tool_shape(tool) for tool in job.tools],
        "part": part_shapes(part),
        "grid": _grid(cut.grid),
        "labels": labels(part, cut.grid),
        **({} if begins is None else {"begins": _begins(begins)}),
        "text": text.rstrip("\n").split("\n"),
        **timeline(program, seconds, owners, names, change_time=machine.change_time),
        "engaged": {"counts": counts, "degrees": angles},
        "depth": [round(depth * 100) for depth in cut.facts.depth.tolist()],
    }


def _begins(blank: Blank) -> dict[str, list[int | None]]:
    """Heights and bottoms row by row as value, count, value, count ...: um, null in air."""
    return {"heights": _runs(blank.heights), "bottoms": _runs(blank.bottoms)}


def _runs(cells: npt.NDArray[np.float32]) -> list[int | None]:
    flat = np.rint(cells.ravel().astype(np.float64) * 1000).astype(np.int64)
    starts = np.concatenate(([0], np.flatnonzero(np.diff(flat)) + 1))
    counts = np.diff(np.concatenate((starts, [flat.size])))
    air = int(AIR) * 500
    return [
        value
        for height, count in zip(flat[starts].tolist(), counts.tolist(), strict=True)
        for value in (None if height < air else height, count)
    ]


def as_json(data: dict[str, Any]) -> str:
    """The data in few letters, safe inside a script element."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    # neither `</script>` nor `<!--` can then stand in it, whatever the author wrote
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _title(job: Job, report: Report) -> dict[str, Any]:
    title = job.title
    return {
        "name": title.name,
        "title": (title.title or title.name) + (f", {job.setup.label}" if job.setup else ""),
        "number": title.number,
        "revision": title.revision,
        "units": job.units,
        "material": job.material.title or job.material.name.replace("_", " "),
        "machine": job.machine.name.replace("_", " "),
        "workOffset": job.datum.work_offset,
        "digest": job.digest[:16],
        "programDigest": report.program_digest[:16],
        "held": report.held,
        "time": report.time_s,
    }


def _operations(plan: OperationList, report: Report) -> list[dict[str, Any]]:
    facts = {entry.operation: entry for entry in report.operations}
    # a crib's name may be long; the number is what the program and the carousel go by
    numbers = {tool.name: f"T{tool.number}" for tool in plan.tools}
    found = []
    for operation in plan.operations:
        fact = facts.get(operation.id)
        bottoms = [level.bottom_mm for level in operation.levels]
        found.append(
            {
                "id": operation.id,
                "kind": operation.kind.replace("_", " "),
                "tool": numbers.get(operation.tool, operation.tool),
                "bottom": min(bottoms) if bottoms else None,
                "about": operation.about,
                "limit": operation.engagement_deg,
                "first": fact.first_line if fact else None,
                "time": fact.time_s if fact else 0.0,
            }
        )
    return found


def _grid(grid: Grid) -> dict[str, Any]:
    return {"x0": grid.x0, "y0": grid.y0, "pitch": grid.pitch, "nx": grid.nx, "ny": grid.ny}
