"""Regions and chains picked from a drawing, for the shapes of a job.

closed_region   all closed loops of some layers, or the one round a point with its holes
open_chain      the one open line of some layers, for a keep region with an open side
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from compiler.diagnostics import Diagnostic, Outcome, Severity
from compiler.drawing.crowd import CrowdedError
from compiler.drawing.inner import inner_point
from compiler.drawing.join import join
from compiler.drawing.layers import chosen_layers, faults_of
from compiler.drawing.model import JOIN_GAP, Drawing, Joined, Junction, Loop
from compiler.drawing.nest import Clash, clashes, nest, region_of
from compiler.drawing.strays import MOST_TOLD, Memo, ends_of, named, open_runs
from compiler.drawing.voice import Voice
from compiler.geometry import Chain, Point, Region
from compiler.geometry.distance import point_distance
from compiler.geometry.inside import InsideTest
from compiler.units.number import MM_PER_INCH, counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a shape wants of a drawing.

    Attributes:
        layers: Names or patterns; None for all shown layers.
        containing: Only the loop round this point, mm; for open chains the one nearest to it.
        join_gap: Open ends no further apart are joined, mm.
        on_unclosed: What an open chain on the layers means.
        arcs_within: Runs of short chords within this of an arc become it, mm.
    """

    layers: tuple[str, ...] | None = None
    containing: Point | None = None
    join_gap: float = JOIN_GAP
    on_unclosed: Literal["error", "ignore"] = "error"
    arcs_within: float | None = None


def closed_region(
    drawing: Drawing, asked: Asked, voice: Voice, memo: Memo | None = None
) -> Outcome[Region]:
    """The region that the asked-for loops bound, holes respected.

    With a `memo` what was done in joining is told for the first shape alone.

    Errors: E704 layers, E705 nothing closed, E706 open chains, E707 junctions, E708 loops that
    cross, E709 and E710 unusable entities, E711 no loop round the point. Warnings: W703 joined
    gaps, W704 line work drawn twice, W706 open chains left out.
    """
    made = joined_of(drawing, asked, voice, memo)
    if made.value is None:
        return Outcome(None, made.findings)
    joined = made.value
    if asked.containing is not None:
        picked = round_point(joined, asked, asked.containing, voice, memo, drawing.units)
    else:
        picked = _all_loops(joined, asked, voice, memo)
    findings = (*made.findings, *picked.findings)
    if memo is not None:
        findings = memo.untold(findings)
    if picked.value is None:
        return Outcome(None, findings)
    loops = picked.value
    try:
        crossing = clashes(loops)
        nesting = nest(loops)
    except CrowdedError:
        return Outcome(None, (*findings, crowded(voice)))
    if crossing:
        told = [_crossing(c, loops, voice) for c in crossing[:MOST_TOLD]]
        return Outcome(None, (*findings, *told))
    if memo is not None:
        memo.use(loops)
    return Outcome(region_of(loops, nesting), findings)


def open_chain(
    drawing: Drawing, asked: Asked, voice: Voice, memo: Memo | None = None
) -> Outcome[Chain]:
    """The one open chain of the layers, walked from its leftmost end (the lower of two level ones).

    `containing` picks the nearest of several. Errors: E704, E709, E710 as for `closed_region`;
    E712 where there is not exactly one.
    """
    made = joined_of(drawing, asked, voice, memo)
    if made.value is None:
        return Outcome(None, made.findings)
    runs = made.value.runs
    near = asked.containing
    if near is not None and runs:
        runs = (min(runs, key=lambda r: min(point_distance(near, s) for s in r.chain.segments)),)
    if len(runs) == 1:
        if memo is not None:
            memo.use(runs)
        return Outcome(runs[0].chain, made.findings)
    if not runs:
        refusal = voice.finding(
            "E712",
            f"the drawing `{voice.name}` has no open chain on {_asked_layers(asked)}",
            help="draw the line open, across the stock, on a layer of its own",
        )
    else:
        listed = "; ".join(ends_of(run, voice) for run in runs[:MOST_TOLD])
        refusal = voice.finding(
            "E712",
            f"the drawing `{voice.name}` has {len(runs)} open chains on {_asked_layers(asked)}",
            help=f"pick one by `containing: {voice.place(runs[0].chain.segments[0].at(0.5))}`, "
            "or give each a layer of its own",
            notes=(listed,),
        )
    return Outcome(None, (*made.findings, refusal))


def joined_of(
    drawing: Drawing, asked: Asked, voice: Voice, memo: Memo | None = None
) -> Outcome[Joined]:
    """The line work of the asked-for layers put together, with what was done to it.

    Errors: E704 layers, E709 and E710 unusable entities.
    """
    layers = chosen_layers(drawing, asked.layers, voice)
    if layers.value is None:
        return Outcome(None, layers.findings)
    faults = faults_of(drawing, layers.value, voice)
    if faults:
        return Outcome(None, tuple(faults))
    key = (layers.value, asked.join_gap, asked.arcs_within)
    if memo is not None and key in memo.joined:
        return Outcome(memo.joined[key])
    taken = set(layers.value)
    try:
        joined = join(
            [d for d in drawing.drawn if d.layer in taken],
            gap=asked.join_gap,
            arcs_within=asked.arcs_within,
        )
    except CrowdedError:
        return Outcome(None, (crowded(voice),))
    if memo is not None:
        memo.joined[key] = joined
    return Outcome(joined, tuple(said_of(joined, voice)))


def crowded(voice: Voice) -> Diagnostic:
    """E702: what to say of a drawing that lies on top of itself."""
    return voice.finding(
        "E702",
        f"too many lines of the drawing `{voice.name}` lie on top of one another",
        help="choose the layers that are to be cut with `layer` or `layers`",
    )


def said_of(joined: Joined, voice: Voice) -> list[Diagnostic]:
    """What joining did that the author should know: gaps closed, repeats taken once."""
    findings = []
    if joined.gaps:
        widest = joined.gaps[0]
        findings.append(
            voice.finding(
                "W703",
                f"{counted(len(joined.gaps), 'gap was', 'gaps were')} joined, the largest "
                f"{voice.length(widest.width)} at {voice.place(widest.at)}",
                severity=Severity.NOTE,
                help="set `join_gap` smaller to refuse such gaps",
                data=(("largest_gap_mm", widest.width),),
            )
        )
    if joined.repeats:
        findings.append(
            voice.finding(
                "W704",
                f"{counted(joined.repeats, 'line or arc lies', 'lines or arcs lie')} on others and "
                "counted once",
                severity=Severity.NOTE,
                help="nothing need be done; the drawing holds line work drawn twice",
            )
        )
    return findings


def _all_loops(
    joined: Joined, asked: Asked, voice: Voice, memo: Memo | None = None
) -> Outcome[tuple[Loop, ...]]:
    findings = _junctions_found(
        [j for j in joined.junctions[:MOST_TOLD] if j.doubtful], joined, voice
    )
    findings += open_runs(joined.runs, asked.on_unclosed, voice, memo)
    if any(f.severity is Severity.ERROR for f in findings):
        return Outcome(None, tuple(findings))
    if not joined.loops:
        findings.append(_nothing_closed(asked, voice))
        return Outcome(None, tuple(findings))
    return Outcome(joined.loops, tuple(findings))


def round_point(
    joined: Joined,
    asked: Asked,
    point: Point,
    voice: Voice,
    memo: Memo | None = None,
    drawn_in: str = "",
) -> Outcome[tuple[Loop, ...]]:
    """The smallest loop round the point, and the loops directly in it.

    `drawn_in` are the drawing's units, for who gives a point in those.

    Errors: E705, E706, E707, E708, E711.
    """
    candidates = (*joined.loops, *joined.faces)
    round_it = [c for c in candidates if InsideTest(c.outline.segments).contains(point)]
    if not round_it:
        findings = open_runs(joined.runs, asked.on_unclosed, voice, memo)
        return Outcome(None, (*findings, _none_round(joined, point, asked, voice, drawn_in)))
    outer = min(round_it, key=lambda c: c.outline.area)
    inside = InsideTest(outer.outline.segments)
    # line work left open inside the loop may have been meant as a hole; outside it is no matter
    within = [r for r in joined.runs if inside.contains(r.chain.segments[0].at(0.43))]
    beyond = [r for r in joined.runs if r not in within]
    doubts = [
        j
        for j in joined.junctions
        if j.doubtful and inside.contains(j.at) and not _on_outline(j.at, outer)
    ]
    findings = [
        *_junctions_found(doubts[:MOST_TOLD], joined, voice),
        *open_runs(within, asked.on_unclosed, voice, memo),
        *open_runs(beyond, "ignore", voice, memo),
    ]
    if any(f.severity is Severity.ERROR for f in findings):
        return Outcome(None, tuple(findings))
    try:
        return _with_holes(outer, joined, findings, voice)
    except CrowdedError:
        return Outcome(None, (*findings, crowded(voice)))


def _with_holes(
    outer: Loop, joined: Joined, findings: Sequence[Diagnostic], voice: Voice
) -> Outcome[tuple[Loop, ...]]:
    """A loop and those directly in it, none of which may cross it."""
    loops = [outer, *(loop for loop in joined.loops if loop is not outer)]
    nesting = nest(loops)
    holes = [loops[i] for i in nesting.within(0)]
    if outer in joined.loops:  # a face has its neighbours against it by its nature
        for other in loops[1:]:
            crossing = [] if other in holes else clashes((outer, other))
            if crossing:
                return Outcome(None, (*findings, _crossing(crossing[0], (outer, other), voice)))
    return Outcome((outer, *holes), tuple(findings))


def _on_outline(point: Point, loop: Loop) -> bool:
    return any(point_distance(point, s) < 0.01 for s in loop.outline.segments)


def _crossing(clash: Clash, loops: Sequence[Loop], voice: Voice) -> Diagnostic:
    return voice.finding(
        "E708",
        f"line work on {_on(loops[clash.first], loops[clash.second])} crosses at "
        f"{voice.place(clash.at)}",
        help="draw the loops apart or on layers of their own and join them with `any_of`",
    )


def _junctions_found(
    junctions: Sequence[Junction], joined: Joined, voice: Voice
) -> list[Diagnostic]:
    """E707 for each, with a point in the largest face as a way out."""
    inside = ""
    if junctions and joined.faces:
        face = max(joined.faces, key=lambda f: f.outline.area)
        inside = f", as `containing: {voice.place(inner_point(face.outline.segments))}`"
    return [
        voice.finding(
            "E707",
            f"{each.ends} ends meet at {voice.place(each.at)} on {named(each.layers)}, "
            "so there is more than one way on",
            help="put the loops on layers of their own, or pick one by a point in it" + inside,
        )
        for each in junctions
    ]


def _nothing_closed(asked: Asked, voice: Voice) -> Diagnostic:
    return voice.finding(
        "E705",
        f"the drawing `{voice.name}` has no closed loop on {_asked_layers(asked)}",
        help="`measure` lists the drawing's layers, loops and open ends",
    )


def _none_round(
    joined: Joined, point: Point, asked: Asked, voice: Voice, drawn_in: str
) -> Diagnostic:
    known = [*joined.loops, *joined.faces]
    if not known:
        return _nothing_closed(asked, voice)
    nearest = min(known, key=lambda c: min(point_distance(point, s) for s in c.outline.segments))
    message = f"no closed loop on {_asked_layers(asked)} goes round {voice.place(point)}"
    meant = _in_other_units(point, drawn_in, voice)
    if meant is not None and any(InsideTest(c.outline.segments).contains(meant) for c in known):
        return voice.finding(
            "E711",
            f"{message}; the drawing is in {drawn_in}, the job in {voice.units}",
            help=f"in {voice.units} the place is {voice.place(meant)}; or give the whole job "
            f"`units: {'mm' if voice.units == 'inch' else 'inch'}`",
        )
    return voice.finding(
        "E711",
        message,
        help=f"the nearest one goes round {voice.place(inner_point(nearest.outline.segments))}",
    )


def _in_other_units(point: Point, drawn_in: str, voice: Voice) -> Point | None:
    """The place of the same two numbers in the drawing's units; None where it has the job's."""
    inches = drawn_in in ("inch", "thou", "foot")
    if not drawn_in or inches == (voice.units == "inch"):
        return None
    factor = MM_PER_INCH if inches else 1 / MM_PER_INCH
    return Point(point.x * factor, point.y * factor)


def _asked_layers(asked: Asked) -> str:
    return named(asked.layers) if asked.layers else "its visible layers"


def _on(one: Loop, two: Loop) -> str:
    return named(tuple(sorted({*one.layers, *two.layers})))
