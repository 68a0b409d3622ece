"""Ways into a keep region that the job itself asks for: holes, and broken edges."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from compiler.geometry import Point
from compiler.judge.case import SLACK, Case


def edge_widths(case: Case) -> dict[str, float]:
    """Tool name to the widest edge that the job asks it to break, mm."""
    widths: dict[str, float] = {}
    for asked in case.job.passes:
        if asked.kind == "break_edges" and asked.width is not None:
            widths[asked.tool] = max(widths.get(asked.tool, 0.0), asked.width)
    return widths


def declared_holes(case: Case) -> npt.NDArray[np.bool_]:
    """Which motions are a drill going straight up or down where the job wants a hole."""
    datum = case.job.datum.at
    table = (Point(0.0, 0.0),) if case.job.table is None else case.job.table.places
    places: dict[str, list[tuple[float, float]]] = {}
    for asked in case.job.passes:
        if asked.kind == "drill":
            spots = [(p.x - datum.x + t.x, p.y - datum.y + t.y) for p in asked.at for t in table]
            places.setdefault(asked.tool, []).extend(spots)
    found = np.zeros(len(case.motions), dtype=bool)
    if not places:
        return found
    for k, (motion, tool) in enumerate(zip(case.motions, case.tools, strict=True)):
        if tool is None or tool.name not in places or not case.known[k]:
            continue
        found[k] = motion.plan_length < 1e-9 and any(
            math.hypot(motion.end.x - x, motion.end.y - y) <= SLACK for x, y in places[tool.name]
        )
    return found
