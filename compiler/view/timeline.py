"""The program as steps to play: every motion, every wait, with the block and state it runs in.

Positions are whole ten-thousandths of a millimetre, each as the difference to the last known one:
small numbers, and no rounding error that adds up. `None` stands where the text fixes no position.
"""

import math
from collections.abc import Sequence
from typing import Any

from compiler.read import Block, Motion, Program, State

FINE = 10_000  # parts of a millimetre, and of a second
WAIT, RAPID, LINE, CLOCKWISE, COUNTER_CLOCKWISE = range(5)


def timeline(
    program: Program,
    seconds: Sequence[float],
    owners: Sequence[str | None],
    operations: Sequence[str],
    *,
    change_time: float,
) -> dict[str, Any]:
    """The steps as columns, and the table of states they name by row.

    Args:
        program: As it was read.
        seconds: Of each motion.
        owners: For each line of the text the operation that it belongs to.
        operations: All operations in order; steps name them by index, -1 for none.
        change_time: Of a tool change, s.
    """
    order = {name: index for index, name in enumerate(operations)}
    columns: dict[str, list[Any]] = {
        name: []
        for name in ("line", "kind", "x", "y", "z", "centre", "time", "state", "op", "motion")
    }
    states: dict[tuple[Any, ...], int] = {}
    here = [0, 0, 0]
    motion_index = 0
    for block in program.blocks:
        if not block.words:
            continue
        owner = owners[block.line - 1] if block.line <= len(owners) else None
        shared = {
            "line": block.line,
            "op": order.get(owner or "", -1),
        }
        if (wait := _wait(block, change_time)) > 0 or not block.motions:
            state = states.setdefault(_said(block.state), len(states))
            _add(columns, here, None, wait, {**shared, "state": state, "motion": -1})
        for motion in block.motions:
            state = states.setdefault(_said(motion.state), len(states))
            given = {**shared, "state": state, "motion": motion_index}
            _add(columns, here, motion, seconds[motion_index], given)
            motion_index += 1
    return {"steps": columns, "states": [list(state) for state in states]}


def _wait(block: Block, change_time: float) -> float:
    """Seconds in which nothing moves: dwells and tool changes."""
    return block.dwell + (change_time if block.says("M", 6) else 0.0)


def _said(state: State) -> tuple[Any, ...]:
    """What the page shows of a state: T number, spindle, rpm, feed in mm/min, coolant."""
    coolant = " and ".join(
        name for name, on in (("mist", state.mist), ("flood", state.flood)) if on
    )
    return (state.tool, state.spindle, round(state.rpm, 1), round(state.feed, 4), coolant or "off")


def _add(
    columns: dict[str, list[Any]],
    here: list[int],
    motion: Motion | None,
    seconds: float,
    given: dict[str, int],
) -> None:
    """One step; `here` is where the last known position lies and is moved on."""
    for name, value in given.items():
        columns[name].append(value)
    columns["time"].append(round(seconds * FINE))
    columns["kind"].append(_kind(motion))
    ends = (None, None, None) if motion is None else (motion.end.x, motion.end.y, motion.end.z)
    for axis, end in enumerate(ends):
        name = "xyz"[axis]
        if motion is None:
            columns[name].append(0)
        elif end is None or math.isnan(end):
            columns[name].append(None)
        else:
            there = round(end * FINE)
            columns[name].append(there - here[axis])
            here[axis] = there
    if motion is not None and motion.centre is not None:
        columns["centre"] += [round(motion.centre.x * FINE), round(motion.centre.y * FINE)]


def _kind(motion: Motion | None) -> int:
    if motion is None:
        return WAIT
    if motion.kind == "rapid":
        return RAPID
    if motion.centre is None:
        return LINE
    return COUNTER_CLOCKWISE if motion.ccw else CLOCKWISE
