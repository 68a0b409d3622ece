"""Every position, feed and speed is inside the machine's limits.

Where the work offset will lie in the machine is not in the text: what can be said is whether the
span of positions fits into the travel. Travels that the shop did not state are not checked.
"""

from __future__ import annotations

import numpy as np

from compiler.judge.case import Case
from compiler.judge.model import Obligation
from compiler.read import Motion

_ROUNDING = 0.06  # mm/min: feeds are written with one decimal
_RPM_ROUNDING = 0.5


def check(case: Case) -> Obligation:
    """Speeds, then feeds, then travels; the first that does not fit."""
    return _speeds(case) or _feeds(case) or _travels(case)


def _broken(
    case: Case, index: int, what: str, remedy: str, measured: float, allowed: float, unit: str
) -> Obligation:
    return Obligation(
        name="machine_fits",
        held=False,
        what=what,
        measured=measured,
        allowed=allowed,
        margin=-abs(measured - allowed),
        unit=unit,
        worst=case.place(index),
        remedy=remedy,
    )


def _speeds(case: Case) -> Obligation | None:
    machine = case.job.machine
    for k, motion in enumerate(case.motions):
        if motion.state.spindle == "off":
            continue
        rpm = motion.state.rpm
        limit = machine.max_rpm if rpm > machine.max_rpm + _RPM_ROUNDING else machine.min_rpm
        if machine.min_rpm - _RPM_ROUNDING <= rpm <= machine.max_rpm + _RPM_ROUNDING:
            continue
        span = f"{machine.min_rpm:.0f} to {machine.max_rpm:.0f}"
        what = f"The program asks for {rpm:.0f} rpm; the machine turns {span}."
        return _broken(case, k, what, f"set {limit:.0f} rpm", rpm, limit, "rpm")
    return None


def _feeds(case: Case) -> Obligation | None:
    limit = case.job.machine.max_feed
    fed = np.flatnonzero(case.fed)
    feed = float(case.columns.feed[fed].max(initial=0.0))
    if feed <= limit + _ROUNDING:
        return None
    index = int(fed[case.columns.feed[fed] == feed][-1])
    most = case.feed(limit)
    what = f"The program asks for a feed of {case.feed(feed)}; the machine goes to {most}."
    return _broken(case, index, what, f"set the feed to {most} at most", feed, limit, "mm/min")


def _travels(case: Case) -> Obligation:
    travel = case.job.machine.travel
    if travel is None:
        return Obligation(
            name="machine_fits",
            held=True,
            what="Feeds and speeds fit. The machine's travels are not stated, so not checked.",
        )
    spans = [_span(case, axis) for axis in "xyz"]
    rooms = [allowed - (high - low) for allowed, (low, high, _) in zip(travel, spans, strict=True)]
    tight = int(np.argmin(rooms))
    low, high, index = spans[tight]
    held = rooms[tight] >= 0
    axis = "XYZ"[tight]
    said = ", ".join(
        f"{name} {case.length(top - bottom)} of {case.length(allowed)}"
        for name, allowed, (bottom, top, _) in zip("XYZ", travel, spans, strict=True)
    )
    return Obligation(
        name="machine_fits",
        held=held,
        what=f"Of the machine's travel the positions take {said}."
        if held
        else f"Positions in {axis} span {case.length(high - low)}, more than the travel of "
        f"{case.length(travel[tight])}.",
        measured=high - low,
        allowed=travel[tight],
        margin=rooms[tight],
        unit="mm",
        worst=case.place(index) if index >= 0 else None,
        remedy=""
        if held
        else f"turn the part or split the job: {case.length(-rooms[tight])} too long in {axis}",
    )


def _made_up(case: Case, motion: Motion, axis: str) -> float:
    """How far a part was moved aside whose place is not said: no travel follows from that."""
    table = case.job.table
    if table is None or table.is_said or axis == "z":
        return 0.0
    places = dict(zip(table.work_offsets, table.places, strict=True))
    place = places.get(motion.state.work_offset)  # of another offset nothing was moved
    return 0.0 if place is None else float(getattr(place, axis))


def _span(case: Case, axis: str) -> tuple[float, float, int]:
    """Lowest and highest stated position of an axis, arcs' bulges included, and where it is."""
    starts, ends = getattr(case.columns, f"a{axis}"), getattr(case.columns, f"b{axis}")
    low, high = np.fmin(starts, ends), np.fmax(starts, ends)
    if axis != "z":
        low_x, low_y, high_x, high_y = case.tracks.bounds()
        arc = case.tracks.radius > 0
        low = np.where(arc, np.fmin(low, low_x if axis == "x" else low_y), low)
        high = np.where(arc, np.fmax(high, high_x if axis == "x" else high_y), high)
    by = np.zeros(len(case.motions))
    if case.job.table is not None:
        by += [_made_up(case, motion, axis) for motion in case.motions]
    said = np.flatnonzero(~np.isnan(high))
    if not said.size:
        return 0.0, 0.0, -1
    low, high = low[said] - by[said], high[said] - by[said]
    at = int(np.argmax(high))
    return float(low.min()), float(high[at]), int(said[at])
