"""The judgement: read the text, cut the stock, ask every obligation, tell what is broken.

Nothing here knows how the motions were planned or written. A text that the reader refuses has no
evidence: every obligation is then open, and so not held.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from compiler import __version__
from compiler.diagnostics import Diagnostic, Label, Outcome, Span
from compiler.job.model import Job
from compiler.judge.case import Case, owners_of, profiles_of, tools_in_spindle, tracks_of
from compiler.judge.clocked import clocked
from compiler.judge.facts import operation_facts
from compiler.judge.legs import ways
from compiler.judge.model import Leftover, Obligation, Report
from compiler.judge.obligations import ALL, nothing_left
from compiler.judge.owners import owners
from compiler.judge.told import CODES, told
from compiler.judge.uncut import uncut
from compiler.judge.wear import at_both_ends, wear_offsets
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.part.table import spread
from compiler.plan.model import OperationList
from compiler.read import Columns, Dialect, Motion, Program, columns, placed, read
from compiler.simulate import Begun, Blank, Cut, MotionFacts, choose_pitch, simulate, total_time


@dataclass(frozen=True, slots=True)
class Judged:
    """The evidence with what it was taken from; no case where the reader refused the text."""

    report: Report
    case: Case | None
    findings: tuple[Diagnostic, ...]


def judge(
    *,
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    text: str,
    line_owner: Sequence[str | None] | None = None,
) -> Outcome[Report]:
    """The evidence for one program: `examine`, less what it was taken from."""
    judged = examine(
        job=job, part=part, plan=plan, motions=motions, text=text, line_owner=line_owner
    )
    return Outcome(judged.report, judged.findings)


def examine(
    *,
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    text: str,
    line_owner: Sequence[str | None] | None = None,
    blank: Blank | None = None,
) -> Judged:
    """The evidence for one program, and the program as it was read and cut.

    Args:
        job: What the author said.
        part: What must stand and go.
        plan: What was promised: limits, allowances, clearance.
        motions: What was to be written, for `text_true`.
        text: The program; everything else is judged on it alone.
        line_owner: For each line of the text the operation that it belongs to; None: told from
            the text's own comments, tools and heights (`judge.owners`).
        blank: What an earlier setup left of the stock, as its own program was cut; None: all of it.

    Returns:
        The report, and an E5 diagnostic for each obligation that is broken.
    """
    wear = wear_offsets(job, plan)
    offsets = {offset.number: 0.0 for offset in wear}
    program = read(text, dialect=Dialect.of(job.machine.program), offsets=offsets)
    if program.value is None:
        return _unread(job, text, program.findings)
    if line_owner is None:
        line_owner = owners(program.value, job, plan)
    owned = line_owner

    def case_with(tried: Mapping[int, float]) -> Outcome[Case]:
        shifted = program
        if tried != offsets:
            shifted = read(text, dialect=Dialect.of(job.machine.program), offsets=tried)
        if shifted.value is None:
            return Outcome(None, shifted.findings)
        return Outcome(
            make_case(
                job=job,
                part=part,
                plan=plan,
                motions=motions,
                program=shifted.value,
                line_owner=owned,
                offsets=tried,
                blank=blank,
                begun=case.cut.begun,
            )
        )

    case = make_case(
        job=job,
        part=part,
        plan=plan,
        motions=motions,
        program=program.value,
        line_owner=line_owner,
        blank=blank,
        is_shifted=bool(wear),
    )
    entries: list[Obligation] = []
    leftovers: tuple[Leftover, ...] = ()
    for check in ALL:
        if check is nothing_left.check:
            entry, leftovers = nothing_left.check_with_places(case)
        else:
            entry = check(case)
        entries.append(entry)
    entries = [_rounded(entry) for entry in at_both_ends(entries, wear, case_with)]
    report = Report(
        job=job.title.name,
        revision=job.title.revision,
        job_digest=job.digest,
        program_digest=_digest(text),
        tool_version=__version__,
        resolution_mm=round(case.cut.grid.pitch, 6),
        obligations=tuple(entries),
        leftovers=leftovers,
        operations=operation_facts(case),
        wear_offsets=wear,
        time_s=round(
            total_time(case.seconds, program.value.blocks, change_time=job.machine.change_time),
            3,
        ),
        blocks=sum(1 for block in program.value.blocks if block.words),
        removed_mm3=round(case.cut.removed, 3),
    )
    broken = tuple(told(job, entry) for entry in entries if not entry.held)
    return Judged(report, case, (*broken, *_uncut(job, plan, entries, leftovers)))


def _uncut(
    job: Job, plan: OperationList, entries: Sequence[Obligation], left: tuple[Leftover, ...]
) -> tuple[Diagnostic, ...]:
    """What stays, as a warning: where the obligation is broken the error says it."""
    held = all(entry.held for entry in entries if entry.name == "nothing_left")
    return uncut(job, plan, left) if held else ()


def make_case(
    *,
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    program: Program,
    line_owner: Sequence[str | None],
    offsets: Mapping[int, float] | None = None,
    blank: Blank | None = None,
    is_shifted: bool = False,
    begun: Begun | None = None,
) -> Case:
    """A program that was read, laid out and cut for the obligations to look at; of several parts
    on the table all of them, where they lie.

    `offsets` is what it was read with, where the control compensates. `is_shifted`: it will be cut
    again with others; `begun` is then what it had cut before the first motion that they shift.
    """
    if job.table is not None:
        part = spread(part, job.table)
        if job.table.has_offsets:
            places = dict(zip(job.table.work_offsets, job.table.places, strict=True))
            program = placed(program, places)
    moves = program.motions
    every = columns(moves)
    tool_at = tools_in_spindle(job, moves)
    none_last = (*job.tools, None)
    return Case(
        job=job,
        part=part,
        plan=plan,
        planned=motions,
        program=program,
        line_owner=line_owner,
        motions=moves,
        columns=every,
        tools=tuple(none_last[k] for k in tool_at.tolist()),
        tool_at=tool_at,
        owner_at=owners_of(plan, line_owner, moves),
        profiles=profiles_of(job),
        tracks=tracks_of(every),
        z_low=every.low,
        z_high=every.high,
        fed=~every.rapid,
        known=every.known,
        cut=_cut(job, part, plan, moves, every, blank, is_shifted, begun),
        seconds=clocked(every, job.machine),
        offsets=offsets or {},
    )


def _cut(
    job: Job,
    part: Part,
    plan: OperationList,
    moves: Sequence[Motion],
    every: Columns,
    blank: Blank | None,
    is_shifted: bool,
    begun: Begun | None,
) -> Cut:
    """The stock cut by the program; rapids low enough to meet it go every way they may."""
    used = [job.tool(op.tool) for op in plan.operations]
    radii = [t.radius for t in used if t.kind not in ("drill", "chamfer_mill")]
    expanded: list[Motion] = []
    source: list[int] = []
    for k, motion in enumerate(moves):
        low = motion.kind == "rapid" and min(motion.start.z, motion.end.z) < part.stock_top
        for way in ways(motion) if low else (motion,):
            expanded.append(way)
            source.append(k)
    pause = len(expanded)
    if is_shifted:
        each = range(len(expanded))
        pause = next((k for k in each if expanded[k].state.compensation != "off"), pause)
    cut = simulate(
        expanded,
        {tool.number: tool for tool in job.tools},
        stock=part.stock,
        top=part.stock_top,
        bottom=part.stock_bottom,
        pitch=choose_pitch(part.stock.bounds, _least_radius(job, radii)),
        blank=blank,
        skin=max((op.floor_allowance_mm for op in plan.operations), default=0.0),
        moves=every if len(expanded) == len(moves) else None,
        pause=pause if is_shifted else 0,
        begun=begun,
    )
    return cut if len(expanded) == len(moves) else _folded(cut, source, len(moves))


def _least_radius(job: Job, radii: Sequence[float]) -> float:
    """Of the cutters that clear; of all setups, for each is cut on what the one before left."""
    if job.setup is not None and job.setup.least_radius is not None:
        return job.setup.least_radius
    return min(radii, default=3.0)


def _folded(cut: Cut, source: Sequence[int], count: int) -> Cut:
    """Facts of the ways of a rapid put back on the rapid itself."""
    at = np.array(source)
    removed, depth, thickest = np.zeros(count), np.zeros(count), np.zeros(count)
    np.add.at(removed, at, cut.facts.removed)
    np.maximum.at(depth, at, cut.facts.depth)
    np.maximum.at(thickest, at, cut.facts.thickest)
    touched = np.zeros(count, dtype=bool)
    np.logical_or.at(touched, at, cut.facts.touched)
    touch_x, touch_y = np.full(count, np.nan), np.full(count, np.nan)
    met = np.flatnonzero(cut.facts.touched)
    touch_x[at[met]], touch_y[at[met]] = cut.facts.touch_x[met], cut.facts.touch_y[met]
    samples = replace(cut.samples, motion=at[cut.samples.motion])
    return replace(
        cut,
        facts=MotionFacts(removed, depth, touched, touch_x, touch_y, thickest),
        samples=samples,
        band_contacts={source[k]: contact for k, contact in cut.band_contacts.items()},
    )


def _unread(job: Job, text: str, findings: tuple[Diagnostic, ...]) -> Judged:
    """No program, no evidence: every obligation stays open."""
    refusal = findings[0]
    line = next((int(value) for name, value in refusal.data if name == "line"), 0)
    entries = tuple(
        Obligation(
            name=name,
            held=False,
            what=f"Not judged: line {line} of the program is refused, {refusal.message}.",
            remedy=refusal.help,
        )
        for name in CODES
    )
    report = Report(
        job=job.title.name,
        revision=job.title.revision,
        job_digest=job.digest,
        program_digest=_digest(text),
        tool_version=__version__,
        resolution_mm=0.0,
        obligations=entries,
        time_s=0.0,
        blocks=0,
        removed_mm3=0.0,
    )
    spec = Span(job.spec_file, 1, 1, 1, 2)
    located = Diagnostic(
        code=refusal.code,
        message=f"line {line} of the program is refused: {refusal.message}",
        primary=Label(spec, "the program of this job"),
        help=refusal.help,
        notes=refusal.notes,
        data=refusal.data,
    )
    return Judged(report, None, (located,))


def _rounded(entry: Obligation) -> Obligation:
    """Figures to a ten-thousandth: more is not meant, and the same bytes come out everywhere."""
    figures = {
        name: None if value is None else round(value, 4) + 0.0
        for name, value in (
            ("measured", entry.measured),
            ("allowed", entry.allowed),
            ("margin", entry.margin),
        )
    }
    return entry.model_copy(update=figures)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
