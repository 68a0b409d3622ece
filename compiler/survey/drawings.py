"""A drawing surveyed: its layers, its loops and their nesting, what is open, what is tight."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import Diagnostic, Outcome, Severity
from compiler.drawing.crowd import CrowdedError
from compiler.drawing.inner import inner_point
from compiler.drawing.join import join
from compiler.drawing.layers import chosen_layers, faults_of
from compiler.drawing.model import JOIN_GAP, Drawing, Drawn, Joined, Loop, Run, overall
from compiler.drawing.nest import Nesting, clashes, nest
from compiler.drawing.pick import circle_of
from compiler.drawing.select import crowded
from compiler.drawing.voice import Voice
from compiler.geometry import Region
from compiler.geometry.near import Box, overlap
from compiler.geometry.trace import in_order
from compiler.survey.model import LayerRow, ShapeRow, Survey
from compiler.survey.outlines import NoBlankError, Reading, read_outlines
from compiler.survey.tight import Tight, tight_places
from compiler.units.number import Units, counted


def survey_drawing(
    drawing: Drawing,
    voice: Voice,
    show: Units,
    layers: Sequence[str] | None = None,
    gap: float = JOIN_GAP,
    blank: str | None = None,
) -> Outcome[Survey]:
    """Everything `measure` tells of a drawing; what a job would refuse is a warning here.

    `blank` is the layer of the loop that is the blank, or `none`; None leaves it to the drawing.
    Errors: E705 where that layer has no loop.
    """
    chosen = chosen_layers(drawing, layers, voice)
    if chosen.value is None:
        return Outcome(None, chosen.findings)
    taken = set(chosen.value)
    try:
        chosen_work = [d for d in drawing.drawn if d.layer in taken]
        joined = join(chosen_work, gap=gap)
        crossing, nesting = clashes(joined.loops), nest(joined.loops)
    except CrowdedError:
        return Outcome(None, (crowded(voice),))
    findings: list[Diagnostic] = faults_of(drawing, chosen.value, voice, Severity.WARNING)
    for clash in crossing[:8]:
        findings.append(
            voice.finding(
                "E708",
                f"loops cross at {voice.place(clash.at)}",
                severity=Severity.WARNING,
                help="draw them apart or on layers of their own",
            )
        )
    try:
        reading = read_outlines(joined.loops, nesting, blank)
    except NoBlankError:
        return Outcome(None, (*findings, _no_blank(blank or "", joined.loops, voice)))
    shapes = tuple(_shape(i, joined, nesting, reading) for i in range(len(joined.loops)))
    outlines = [o for r in shapes if r.role == "stands" for o in r.region.outlines]
    standing = Region(()) if crossing else in_order(outlines)
    box = _box(chosen_work, joined, reading)
    runs, beyond = _runs_at(joined.runs, box, reading)
    notes = [f"{row.count} {row.kind} left out: {row.why}" for row in drawing.left_out]
    if beyond:
        notes.append(f"{counted(beyond, 'open line')} left out: beyond the work")
    return Outcome(
        Survey(
            file=voice.name,
            kind="drawing",
            format=f"DXF {drawing.version}",
            units=drawing.units,
            said_by="the drawing" if drawing.said_by == "drawing" else "you",
            show=show,
            box=box,
            layers=tuple(LayerRow(row.name, row.shown, row.count) for row in drawing.layers),
            shapes=shapes,
            runs=tuple((run.chain, run.layers) for run in runs),
            largest_gap=joined.gaps[0].width if joined.gaps else 0.0,
            gaps=len(joined.gaps),
            repeats=joined.repeats,
            junctions=tuple(junction.at for junction in joined.junctions),
            tight=tight_places([(standing, None)]) if standing.outlines else Tight(),
            told=reading.told,
            notes=tuple(notes),
        ),
        tuple(findings),
    )


def _box(work: Sequence[Drawn], joined: Joined, reading: Reading) -> Box | None:
    """The box of the blank; else of all that is drawn but the frame, and of what is in it."""
    if reading.blank is not None:
        return joined.loops[reading.blank].outline.bounds
    if "frame" not in reading.roles:
        return overall([d.segment for d in work])
    kept = [lp for lp, role in zip(joined.loops, reading.roles, strict=True) if role != "frame"]
    return overall([s for loop in kept for s in loop.outline.segments])


def _runs_at(runs: Sequence[Run], box: Box | None, reading: Reading) -> tuple[list[Run], int]:
    """The open lines at the work, and the number of those that a frame or a table is made of."""
    if box is None or (reading.blank is None and "frame" not in reading.roles):
        return list(runs), 0
    near = [
        run
        for run in runs
        if any(overlap(segment.bounds, box, 0.0) for segment in run.chain.segments)
    ]
    return near, len(runs) - len(near)


def _no_blank(asked: str, loops: Sequence[Loop], voice: Voice) -> Diagnostic:
    layers = sorted({name for loop in loops for name in loop.layers})
    return voice.finding(
        "E705",
        f"the drawing `{voice.name}` has no closed loop on layer `{asked}` to be the blank",
        help="layers with closed loops: " + (", ".join(f"`{n}`" for n in layers) or "none"),
    )


def _shape(index: int, joined: Joined, nesting: Nesting, reading: Reading) -> ShapeRow:
    loop = joined.loops[index]
    within = nesting.within(index)
    holes = [joined.loops[i] for i in within if reading.roles[i] == "opening"]
    inside = [hole.outline.reversed() for hole in holes]
    all_in_it = [s for i in within for s in joined.loops[i].outline.reversed().segments]
    circle = circle_of(loop)
    return ShapeRow(
        area=loop.outline.area,
        length=loop.outline.length,
        depth=nesting.depth(index),
        inside=inner_point([*loop.outline.segments, *all_in_it]),
        diameter=None if circle is None else 2 * circle[1],
        layers=loop.layers,
        with_holes=tuple(sorted({*loop.layers, *(n for hole in holes for n in hole.layers)})),
        role=reading.roles[index],
        region=Region((loop.outline, *inside)),
    )
