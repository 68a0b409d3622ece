"""Nothing is cut below its pass's floor, the stock's underside, or what the workholding allows.

Two floors: the lowest that any pass with the tool in the spindle was given (which no mislabelled
line can escape), and that of the operation that owns the line. A drill's point may go below its
pass's floor by the height of its cone (full width is what the pass asks for), and below the stock
as far as the holding says that there is room, but no further.
"""

import math

import numpy as np

from compiler.job.model import Tool
from compiler.judge.case import SLACK, Case
from compiler.judge.model import Obligation
from compiler.units.number import LENGTH_DECIMALS, SHORT, in_units, short


def check(case: Case) -> Obligation:
    """The least height of any fed move above the floor it may go to."""
    floors = _floors_by_tool(case)
    own = {
        op.id: min((level.bottom_mm for level in op.levels), default=None)
        for op in case.plan.operations
    }
    none_last = (*case.job.tools, None)

    def floor_of(at: int, owner: int) -> float:
        tool = none_last[at]
        is_drill = tool is not None and tool.kind == "drill"
        lowest = case.job.lowest_drilled if is_drill else case.part.lowest_cut
        floor = lowest
        if tool is not None and tool.name in floors:
            floor = max(floor, floors[tool.name])
        owned = None if owner < 0 else own[case.plan.operations[owner].id]
        if owned is not None:
            floor = max(floor, owned)
        return max(floor - _point(tool), lowest)

    if not case.known.any():
        return Obligation(name="floor_kept", held=True, what="Nothing moves.", unit="mm")
    pairs, of = np.unique(np.stack([case.tool_at, case.owner_at]), axis=1, return_inverse=True)
    rooms = case.z_low - np.array([floor_of(*pair) for pair in pairs.T.tolist()])[of.ravel()]
    index = int(np.argmin(np.where(case.known, rooms, math.inf)))
    worst = float(rooms[index])
    held = worst >= -SLACK
    z = float(case.z_low[index])
    allowed = z - worst
    granted = (
        SLACK if held and worst < 0 else 0.0
    )  # shown where it is needed, so that held is a margin >= 0
    return Obligation(
        name="floor_kept",
        held=held,
        what=(
            f"The lowest cut stays on its floor, Z {case.length(allowed)}{_rounding(case, worst)}."
            if held
            else f"A cut goes down to Z {case.length(z)}, {case.length(-worst)} below its floor."
        ),
        measured=z,
        allowed=allowed - granted,
        margin=worst + granted,
        unit="mm",
        worst=case.place(index, z=z),
        remedy=""
        if held
        else f"lift the move to Z {case.length(allowed)}, or lower the pass's `to`",
    )


def _rounding(case: Case, room: float) -> str:
    """Why a cut holds that goes a hair below its floor."""
    if room > -SLACK / 10:
        return ""
    units = case.job.units
    decimals = LENGTH_DECIMALS[units] + 1
    below, granted = (short(in_units(v, units), decimals) for v in (-room, SLACK))
    return f"; {below} {SHORT[units]} below it is rounding, of which {granted} is granted"


def _floors_by_tool(case: Case) -> dict[str, float]:
    """The lowest floor asked of each tool: by its passes, `to` carried on from the pass before."""
    deepest: float | None = None
    floors: dict[str, float] = {}
    for asked in case.job.passes:
        floor = asked.to if asked.to is not None else deepest
        if floor is None:
            floor = case.part.lowest_cut
        elif asked.kind != "drill":
            deepest = floor if deepest is None else min(deepest, floor)
        floors[asked.tool] = min(floors.get(asked.tool, math.inf), floor)
    return floors


def _point(tool: Tool | None) -> float:
    """Height of a drill's cone, mm."""
    if tool is None or tool.kind != "drill" or tool.tip_angle <= 0:
        return 0.0
    return tool.radius / math.tan(tool.tip_angle / 2)
