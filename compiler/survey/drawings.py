"""A drawing surveyed: its layers, its loops and their nesting, what is open, what is tight."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import Diagnostic, Outcome, Severity
from compiler.drawing.crowd import CrowdedError
from compiler.drawing.inner import inner_point
from compiler.drawing.join import join
from compiler.drawing.layers import chosen_layers, faults_of
from compiler.drawing.model import JOIN_GAP, Drawing, Joined, Loop, overall
from compiler.drawing.nest import Nesting, clashes, nest, region_of
from compiler.drawing.pick import circle_of
from compiler.drawing.select import crowded
from compiler.drawing.voice import Voice
from compiler.geometry import Region
from compiler.survey.model import LayerRow, ShapeRow, Survey
from compiler.survey.tight import Tight, tight_places
from compiler.units.number import Units


def survey_drawing(
    drawing: Drawing,
    voice: Voice,
    show: Units,
    layers: Sequence[str] | None = None,
    gap: float = JOIN_GAP,
) -> Outcome[Survey]:
    """Everything `measure` tells of a drawing; what a job would refuse is a warning here."""
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
    region = Region(()) if crossing else region_of(joined.loops, nesting)
    return Outcome(
        Survey(
            file=voice.name,
            kind="drawing",
            format=f"DXF {drawing.version}",
            units=drawing.units,
            said_by="the drawing" if drawing.said_by == "drawing" else "you",
            show=show,
            box=overall([d.segment for d in chosen_work]),
            layers=tuple(LayerRow(row.name, row.shown, row.count) for row in drawing.layers),
            shapes=tuple(_shape(loop, i, joined, nesting) for i, loop in enumerate(joined.loops)),
            runs=tuple((run.chain, run.layers) for run in joined.runs),
            largest_gap=joined.gaps[0].width if joined.gaps else 0.0,
            gaps=len(joined.gaps),
            repeats=joined.repeats,
            junctions=tuple(junction.at for junction in joined.junctions),
            tight=tight_places([(region, None)]) if region.outlines else Tight(),
            notes=tuple(f"{row.count} {row.kind} left out: {row.why}" for row in drawing.left_out),
        ),
        tuple(findings),
    )


def _shape(loop: Loop, index: int, joined: Joined, nesting: Nesting) -> ShapeRow:
    holes = [joined.loops[i] for i in nesting.within(index)]
    inside = [hole.outline.reversed() for hole in holes]
    segments = [*loop.outline.segments, *(s for hole in inside for s in hole.segments)]
    circle = circle_of(loop)
    return ShapeRow(
        area=loop.outline.area,
        length=loop.outline.length,
        depth=nesting.depth(index),
        inside=inner_point(segments),
        diameter=None if circle is None else 2 * circle[1],
        layers=loop.layers,
        with_holes=tuple(sorted({*loop.layers, *(n for hole in holes for n in hole.layers)})),
        region=Region((loop.outline, *inside)),
    )
