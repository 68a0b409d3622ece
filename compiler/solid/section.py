"""What a horizontal plane cuts out of a solid, and what it covers seen from above."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import Diagnostic, Outcome, Severity
from compiler.drawing.voice import Voice
from compiler.geometry import EMPTY, Region, combine
from compiler.solid.cut import UnsoundError, cut_at
from compiler.solid.faces import faces_of, level_places
from compiler.solid.model import BESIDE, LEVEL, Face, Solid


def section(solid: Solid, z: float, voice: Voice) -> Outcome[Region]:
    """The solid's material at a height, as exact lines and arcs.

    At the height of a horizontal face the section just below it is given. Curves that are neither
    lines nor circles become arcs within CURVE_TOLERANCE. Errors: E724 where nothing is there, E727
    where the kernel fails.
    """
    levels = level_places(solid)
    at, probes = beside(z, [level for level, _ in levels]), [place for _, place in levels]
    try:
        cut = cut_at(solid, at, probes, toward=-1 if at < z else 1)
    except UnsoundError as error:
        return Outcome(None, (unsound(error, voice),))
    if cut.is_empty:
        return Outcome(None, (_nothing_there(solid, z, voice),))
    return Outcome(cut)


def silhouette(
    solid: Solid, down_to: float | None, voice: Voice, faces: Sequence[Face] | None = None
) -> Outcome[Region]:
    """What the solid above a height covers, seen from above; `down_to` None takes all of it.

    Where nothing is undercut, what a section holds, every section below it holds too, and the
    lowest says it all. Else the sections under every upper face are united with it: whatever is
    seen from above is seen on a face that looks up. Where an undercut face is free or lies aslant
    the union may fall a little short of it, which is said (W705). Errors: E724, E727.
    """
    faces = faces_of(solid) if faces is None else faces
    low = solid.bottom if down_to is None else max(down_to, solid.bottom)
    if low >= solid.top - LEVEL:
        return Outcome(None, (_nothing_there(solid, low, voice),))
    united = EMPTY
    probes = [face.at for face in faces if face.facing != "wall"]
    for z in _telling_heights(solid, faces, low):
        try:
            cut = cut_at(solid, z, probes)
        except UnsoundError as error:
            return Outcome(None, (unsound(error, voice),))
        if not cut.is_empty and not _alike(cut, united):
            united = cut if united.is_empty else combine.union(united, cut)
    short = [f for f in faces if f.facing == "overhang" and f.waist is None and f.high > low]
    return Outcome(united, (_short(short[0], voice),) if short else ())


def beside(z: float, levels: Sequence[float]) -> float:
    """The height itself, or just below it where a horizontal face lies in it."""
    near = [level for level in levels if abs(level - z) <= BESIDE]
    return min(near) - BESIDE if near else z


def _telling_heights(solid: Solid, faces: Sequence[Face], low: float) -> list[float]:
    """Heights whose sections together cover all that the solid above `low` does."""
    there = [f for f in faces if f.high > low + LEVEL]
    if not any(_is_undercut(f, low) for f in there):
        return [low + BESIDE]
    marks = {low + BESIDE}
    for face in there:
        marks |= heights_of(face, low)
    kept: list[float] = []
    for z in sorted(m for m in marks if low < m < solid.top):
        if not kept or z - kept[-1] > 0.5 * BESIDE:
            kept.append(z)
    return kept


def _is_undercut(face: Face, low: float) -> bool:
    """Whether a face hangs over something above a height."""
    return face.facing == "overhang" or (face.facing == "down" and face.low > low + LEVEL)


def heights_of(face: Face, low: float) -> set[float]:
    """Heights above `low` whose sections cover what a face covers."""
    foot, crest = max(face.low, low) + BESIDE, face.high - BESIDE
    if face.facing == "up":
        return {crest}
    if face.facing not in ("slope", "overhang") or foot >= crest:
        return set()
    if face.facing == "slope":
        return {foot, (foot + crest) / 2, crest}
    if face.waist is not None:
        return {foot, min(max(face.waist, foot), crest), crest}
    # free surfaces, and round ones that lie aslant: their widest line is at no one height
    return {foot + (crest - foot) * i / 16 for i in range(17)}


def _alike(one: Region, two: Region) -> bool:
    """Whether two regions are the same to a micrometre, so that uniting them is idle."""
    if len(one.outlines) != len(two.outlines) or abs(one.area - two.area) > 1e-3:
        return False
    for a, b in zip(one.outlines, two.outlines, strict=True):
        if len(a.segments) != len(b.segments):
            return False
        for s, t in zip(a.segments, b.segments, strict=True):
            if s.start.distance(t.start) > 1e-3 or s.at(0.5).distance(t.at(0.5)) > 1e-3:
                return False
    return True


def _short(face: Face, voice: Voice) -> Diagnostic:
    return voice.finding(
        "W705",
        f"the silhouette of the model `{voice.name}` is only near at undercut faces, as at "
        f"{voice.place(face.at)}",
        severity=Severity.WARNING,
        help="compare the picture with the model, or give the region some more with `grow`",
    )


def unsound(error: UnsoundError, voice: Voice) -> Diagnostic:
    """E727: what to say of a section that does not agree with its solid."""
    return voice.finding(
        "E727",
        f"the model `{voice.name}` gives no sound section at Z {voice.length(error.z)}",
        help=f"take it a little beside, as at {voice.length(error.z + 0.1)}; or mend the model",
    )


def _nothing_there(solid: Solid, z: float, voice: Voice) -> Diagnostic:
    return voice.finding(
        "E724",
        f"the model `{voice.name}` has nothing at Z {voice.length(z)}",
        help=f"it reaches from Z {voice.length(solid.bottom)} to {voice.length(solid.top)}; a "
        f"section at {voice.length((solid.bottom + solid.top) / 2)} has something to show",
    )
