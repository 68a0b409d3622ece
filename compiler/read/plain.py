"""Blocks that hardly ever are anything else: one move by G0 to G3 to an absolute place.

They are nearly all of a program, so they have a short way of their own. It takes only what the
control would take (`control.Control.take`), to the same effect; a block that asks for more, or that
may have to be refused for anything but its arc, is not plain and goes the long way.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from compiler.read.arcs import by_offsets
from compiler.read.far import FARTHEST, is_far
from compiler.read.model import MM_PER, Block, Motion, Place, State
from compiler.read.words import LONGEST_LINE

_NUMBER = r"([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))"
_PLAIN = re.compile(
    r"(?:N[0-9]{1,5})?(?:G0?([0-3]))?"
    + "".join(f"(?:{letter}{_NUMBER})?" for letter in ("X", "Y", "Z", "I", "J", "F"))
)
_MOTIONS = {0.0: "G0", 1.0: "G1", 2.0: "G2", 3.0: "G3"}
_KINDS: dict[str, Literal["rapid", "line", "arc"]] = {
    "G0": "rapid",
    "G1": "line",
    "G2": "arc",
    "G3": "arc",
}


def plain_block(
    number: int, text: str, state: State, start: Place, moving: Callable[[State, str], State]
) -> Block | None:
    """The block of a line, in the state and from the place where the control is; None of a line
    that is not plain. `moving` gives a state with another motion. Raises RefusalError for its arc.
    """
    found = _PLAIN.fullmatch(text.replace(" ", ""))
    if found is None or len(text) > LONGEST_LINE:
        return None
    values = [None if word is None else float(word) for word in found.groups()]
    g, x, y, z, i, j, f = values
    motion = state.motion if g is None else _MOTIONS[g]
    kind = _KINDS.get(motion)
    if kind is None or state.units is None or not state.absolute or start.home:
        return None
    if x is None and y is None and z is None:
        return None
    scale = MM_PER[state.units]
    end = Place(
        start.x if x is None else x * scale,
        start.y if y is None else y * scale,
        start.z if z is None else z * scale,
    )
    feed = state.feed if f is None else f * scale
    if feed < 0 or (kind != "rapid" and feed == 0) or is_far(end):
        return None
    centre = None
    if kind == "arc":
        if (i is None and j is None) or (x is None and y is None) or not start.known:
            return None
        to = (i or 0.0) * scale, (j or 0.0) * scale
        centre = by_offsets(start.xy, end.xy, *to, units=state.units, scale=scale)
    elif i is not None or j is not None:
        return None
    if feed != state.feed:
        state = replace(state, feed=feed)
    if motion != state.motion:
        state = moving(state, motion)
    move = Motion(
        line=number,
        kind=kind,
        start=start,
        end=end,
        state=state,
        centre=centre,
        ccw=motion == "G3",
    )
    if move.length > FARTHEST:
        return None
    words = tuple([word for word in zip("GXYZIJF", values, strict=True) if word[1] is not None])
    return Block(line=number, words=words, state=state, motions=(move,))  # type: ignore[arg-type]
