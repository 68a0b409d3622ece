"""The engaged angle stays in the pass's limit where the pattern promises one; slots are slowed.

A cut that belongs to no operation has no promise to keep, and is refused.
Measured along every level cutting move against the front of what was cut before (see
`simulate.front`, which says how exactly).
Past the limit a lowered feed counts as kept: the largest chip of a cut past the limit is as thick
as at the limit when the feed falls by (1 - cos limit) / (1 - cos angle). Patterns that promise
nothing are reported, but a full slot, deeper than a skin, at more than the slot feed is an error.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.judge.case import Case
from compiler.judge.model import Obligation, Place
from compiler.plan.model import Operation
from compiler.units.number import counted

TOLERANCE = math.radians(1.0)  # of fitting curves and of measuring
SHARE = 0.003  # of the cutting length that may pass the limit where fronts meet
PEAK = math.radians(15.0)  # by how much, at the most
SLOT = math.radians(170.0)  # engaged by that much, the cutter is in a full slot
SLOT_DEPTH = 0.05  # of the diameter: a shallower slot is a skin
SLOT_RUN = 0.25  # of the diameter: a shorter slot is the way into the stock
_FEED_SLACK = 1.02
_IN_AIR = 0.01  # rad: no more than grazing


@dataclass(frozen=True, slots=True)
class Measured:
    """One operation's engagement: peak rad, share of length over the limit, and where."""

    operation: Operation
    length: float
    peak: float
    peak_motion: int
    over: float  # share over limit with the feed not lowered for it
    bare_share: float  # share over the limit, whatever the feed
    held_peak: float  # the peak where the feed was not lowered
    slot_run: float  # mm of full slot at more than slot feed
    slot_motion: int


def check(case: Case) -> Obligation:
    """The operation that keeps its promise least, or a slot at full feed."""
    if stray := _stray(case):
        return stray
    measured = measure(case)
    slots = [m for m in measured if m.slot_run > 0]
    if slots:
        return _slot(case, max(slots, key=lambda m: m.slot_run))
    promised = [m for m in measured if m.operation.engagement_deg is not None and m.length > 0]
    if not promised:
        peak = max((m.peak for m in measured), default=0.0)
        return Obligation(
            name="engagement_held",
            held=True,
            what=f"No pass promises a limit; the greatest is {math.degrees(peak):.1f} degrees.",
            measured=math.degrees(peak),
            allowed=180.0,  # a full slot, which is slowed
            margin=180.0 - math.degrees(peak),
            unit="deg",
            worst=_where(case, measured, peak),
        )
    worst = max(promised, key=lambda m: (not _kept(m), m.over, m.held_peak - _limit(m)))
    limit = _limit(worst)
    held = all(_kept(m) for m in promised)
    what = (
        f"`{worst.operation.id}`: {100 * worst.over:.2f} % of the cutting length passes "
        f"{math.degrees(limit):.0f} degrees at full feed; the greatest is "
        f"{math.degrees(worst.held_peak):.1f} degrees."
    )
    return Obligation(
        name="engagement_held",
        held=held,
        what=what,
        measured=math.degrees(worst.held_peak),
        allowed=math.degrees(limit + PEAK),
        margin=math.degrees(limit + PEAK - worst.held_peak),
        unit="deg",
        worst=case.place(worst.peak_motion) if worst.peak_motion >= 0 else None,
        remedy="" if held else "raise the pass's `engagement`, or lower its feed",
    )


def _stray(case: Case) -> Obligation | None:
    """Cuts that belong to no operation of the plan: nothing says how far they may be engaged."""
    samples = case.cut.samples
    planned = {op.id for op in case.plan.operations}
    motions = np.unique(samples.motion[samples.angle > _IN_AIR])
    strays = [int(k) for k in motions if case.owner(case.motions[k].line) not in planned]
    if not strays:
        return None
    return Obligation(
        name="engagement_held",
        held=False,
        what=(
            f"{counted(len(strays), 'cut belongs', 'cuts belong')} to no operation of the plan, "
            "so no limit is known for the engagement there."
        ),
        measured=float(len(strays)),
        allowed=0.0,
        margin=-float(len(strays)),
        unit="cuts",
        worst=case.place(strays[0]),
        remedy="name the operation in a comment before it, as `operation NAME`, and cut it with "
        "that operation's tool",
    )


def _limit(m: Measured) -> float:
    return math.radians(m.operation.engagement_deg or 180.0)


def _kept(m: Measured) -> bool:
    return m.over <= SHARE and m.held_peak <= _limit(m) + PEAK


def _where(case: Case, measured: list[Measured], peak: float) -> Place | None:
    found = next((m for m in measured if m.peak == peak and m.peak_motion >= 0), None)
    return case.place(found.peak_motion) if found else None


def _slot(case: Case, worst: Measured) -> Obligation:
    slow = worst.operation.cutting.slot_feed_mm_min
    feed = case.motions[worst.slot_motion].state.feed
    return Obligation(
        name="engagement_held",
        held=False,
        what=(
            f"`{worst.operation.id}` cuts a full slot {case.length(worst.slot_run)} long at "
            "full feed."
        ),
        measured=feed,
        allowed=slow,
        margin=slow - feed,
        unit="mm/min",
        worst=case.place(worst.slot_motion),
        remedy=f"feed {case.feed(slow)} in the slot, take a smaller cutter, or pattern "
        "constant_engagement",
    )


def measure(case: Case) -> list[Measured]:
    """Every operation that has samples, in the plan's order."""
    samples = case.cut.samples
    if not samples.motion.size:
        return []
    of_sample, feeds = case.owner_at[samples.motion], case.columns.feed[samples.motion]
    cutting = samples.angle > _IN_AIR
    found = []
    for k, operation in enumerate(case.plan.operations):
        at = np.flatnonzero((of_sample == k) & cutting)
        if at.size:
            found.append(_one(case, operation, at, feeds))
    return found


def _one(
    case: Case, op: Operation, at: npt.NDArray[np.int64], feeds: npt.NDArray[np.float64]
) -> Measured:
    samples = case.cut.samples
    angle, length, feed = samples.angle[at], samples.length[at], feeds[at]
    motion = samples.motion[at]
    total = float(length.sum())
    limit = math.radians(op.engagement_deg) if op.engagement_deg is not None else math.pi
    over = angle > limit + TOLERANCE
    lowered = (1 - math.cos(limit)) / np.maximum(1 - np.cos(angle), 1e-9)
    slowed = feed <= np.maximum(
        lowered * op.cutting.feed_mm_min * _FEED_SLACK,
        np.where(angle >= math.pi / 2, op.cutting.slot_feed_mm_min * _FEED_SLACK, 0.0),
    )
    full = over & ~slowed
    peak = int(np.argmax(angle))
    not_slowed = np.where(slowed & over, 0.0, angle)
    run, where = _slot_run(case, op, angle, length, feed, motion)
    worst = int(np.argmax(not_slowed)) if full.any() else peak
    return Measured(
        operation=op,
        length=total,
        peak=float(angle[peak]),
        peak_motion=int(motion[worst]),
        over=float(length[full].sum()) / total,
        bare_share=float(length[over].sum()) / total,
        held_peak=float(not_slowed.max()),
        slot_run=run,
        slot_motion=where,
    )


def _slot_run(
    case: Case,
    op: Operation,
    angle: npt.NDArray[np.float64],
    length: npt.NDArray[np.float64],
    feed: npt.NDArray[np.float64],
    motion: npt.NDArray[np.int64],
) -> tuple[float, int]:
    """The longest unbroken run of full slot at more than slot feed, and where; 0 if short."""
    tool = case.job.tool(op.tool)
    deep = case.cut.facts.depth[motion] > SLOT_DEPTH * tool.diameter
    bad = (angle >= SLOT) & deep & (feed > op.cutting.slot_feed_mm_min * _FEED_SLACK)
    best, where, run, before = 0.0, -1, 0.0, -2
    for k in (int(k) for k in np.flatnonzero(bad)):
        run = run + float(length[k]) if k == before + 1 else float(length[k])
        before = k
        if run > best:
            best, where = run, int(motion[k])
    return (best, where) if best > SLOT_RUN * tool.diameter else (0.0, -1)
