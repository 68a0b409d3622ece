"""Every value on the road, printed: as text for people, as plain data for programs."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from enum import Enum
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from compiler.units.number import fixed

if TYPE_CHECKING:
    from compiler.motion import Motions, Move
    from compiler.road import Journey


def as_data(journey: Journey, stage: str) -> Any:
    """The stage's value as JSON-ready data; None where the road did not come that far."""
    value = _value(journey, stage)
    return None if value is None else plain(value)


def as_text(journey: Journey, stage: str) -> str | None:
    """The stage's value as text; None where the road did not come that far."""
    value = _value(journey, stage)
    if value is None:
        return None
    if stage == "operations":
        from compiler.plan.table import table

        return table(value)
    if stage == "motions":
        return motion_lines(value)
    if stage == "program":
        return str(value)
    import json

    return json.dumps(plain(value), ensure_ascii=False, indent=2)


def _value(journey: Journey, stage: str) -> Any:
    match stage:
        case "job":
            return journey.job
        case "part":
            return journey.part
        case "operations":
            return journey.plan
        case "motions":
            return journey.motions
        case "program":
            return journey.written and journey.written.text
        case _:
            return journey.report


def plain(value: Any) -> Any:
    """Dataclasses, models, mappings and tuples as dicts and lists; floats to the nanometre."""
    if hasattr(value, "model_dump"):
        return value.model_dump(mode="json")
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        named = {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
        return {"is": type(value).__name__.lower(), **named}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, PurePath):
        return value.as_posix()
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, float):
        return round(value, 6) if math.isfinite(value) else None
    return value


def motion_lines(motions: Motions) -> str:
    """One line a move, millimetres, with what it is for."""
    lines: list[str] = []
    for path in motions.paths:
        lines.append(
            f"operation {path.operation}: tool {path.tool}, {fixed(path.rpm, 0)} rpm, "
            f"coolant {path.coolant}"
        )
        lines += [f"{number:6d}  {_move(move)}" for number, move in enumerate(path.moves, 1)]
    return "\n".join(lines)


def _move(move: Move) -> str:
    from compiler.motion import Rapid, Straight, Turn

    to = " ".join(
        f"{axis} {fixed(number, 4)}"
        for axis, number in (("x", move.to.x), ("y", move.to.y), ("z", move.to.z))
    )
    match move:
        case Rapid():
            return f"rapid     {to}"
        case Straight():
            return f"straight  {to}  feed {fixed(move.feed, 1)}  {move.role}"
        case Turn():
            sense = "ccw" if move.ccw else "cw"
            centre = f"{fixed(move.centre.x, 4)}, {fixed(move.centre.y, 4)}"
            return f"turn {sense:4} {to}  round {centre}  feed {fixed(move.feed, 1)}  {move.role}"
