"""Moves in machine coordinates: G28, G30 and G53. Where home is in the work is not in the text."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from compiler.read.model import Motion, Place, State
from compiler.read.refusal import RefusalError

_NAN = math.nan


def home(
    number: int,
    state: State,
    place: Place,
    words: dict[str, float],
    axes: list[str],
    target: Callable[[dict[str, float]], Place],
) -> list[Motion]:
    """G28, G30: by rapid through the written point, then the named axes (or all) home.

    `target` says where the axis words lead.
    """
    moves: list[Motion] = []
    stays = not state.absolute and all(words[axis] == 0 for axis in axes)
    if axes and not stays:
        middle = target(words)
        moves.append(Motion(line=number, kind="rapid", start=place, end=middle, state=state))
        place = middle
    moves.append(_sent(number, state, place, axes or list("XYZ"), "".join(axes or "XYZ")))
    return moves


def machine_move(
    number: int, state: State, place: Place, words: Mapping[str, float], axes: list[str]
) -> Motion:
    """G53: a rapid in machine coordinates. Only zero is known there: the end of travel.

    Raises RefusalError for what the report forbids, and for cuts.
    """
    if not state.absolute:
        raise RefusalError("G53 stands while G91 is in force")
    if state.motion not in ("G0", "G1"):
        raise RefusalError("G53 stands without G0 or G1")
    if state.motion == "G1":
        raise RefusalError("G53 with G1 cuts in machine coordinates, which the part is not in")
    if not axes:
        raise RefusalError("G53 moves, but no axis word says where")
    ends = "".join(axis for axis in axes if words[axis] == 0)
    return _sent(number, state, place, axes, ends)


def _sent(number: int, state: State, start: Place, axes: list[str], ends: str) -> Motion:
    """One rapid in machine coordinates; `ends`: the axes that come to their end of travel."""
    at_home = "".join(a for a in "XYZ" if a in ends or (a in start.home and a not in axes))
    end = Place(
        _NAN if "X" in axes else start.x,
        _NAN if "Y" in axes else start.y,
        _NAN if "Z" in axes else start.z,
        at_home,
    )
    return Motion(
        line=number, kind="rapid", start=start, end=end, state=state, machine="".join(axes)
    )
