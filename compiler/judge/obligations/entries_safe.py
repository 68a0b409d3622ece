"""Every first contact is from air, or by a ramp or helix within its angle.

Straight down into material is for drills only. A slope into material must keep the operation's
angle, and needs a cutter that cuts to its centre, or a helix wide enough that the part which does
not cut never stands still over material: that part is taken as half the diameter (common practice,
no source).
"""

import math

import numpy as np

from compiler.job.model import Job
from compiler.judge.case import Case
from compiler.judge.model import Obligation

DEAD_CENTRE = 0.5  # of the diameter, of a cutter that does not cut to its centre
# What rounding to the program's decimals may add to the angle of a block, rad: this, or on a short
# one what a step of the last decimal is to its length, up to the second.
_ANGLE_SLACK = math.radians(0.1)
_MOST_SLACK = math.radians(0.5)
_CONTACT = 0.01  # mm: less material than that below the tip is no plunge


def check(case: Case) -> Obligation:
    """The steepest slope into material against what is allowed there, or the plunge found."""
    steepest, index, allowed_there = -1.0, -1, 0.0
    facts = case.cut.facts
    step = last_decimal(case.job)
    down = [
        k
        for k in np.flatnonzero(case.known & case.fed & facts.touched)
        if case.motions[k].end.z < case.motions[k].start.z - 1e-6
    ]
    margin = math.inf
    for k in down:
        motion, tool = case.motions[k], case.tools[k]
        if tool is None or tool.kind == "drill" or facts.depth[k] < _CONTACT:
            continue
        if motion.plan_length < 1e-6:
            return _plunge(case, int(k))
        angle = math.atan2(motion.start.z - motion.end.z, motion.plan_length)
        if not tool.centre_cutting and motion.radius < DEAD_CENTRE * tool.radius:
            return _no_centre(case, int(k))
        operation = case.operation(int(k))
        allowed = case.job.material.max_ramp_angle
        if operation is not None:
            allowed = math.radians(operation.max_ramp_angle_deg)
        rounding = min(step / motion.plan_length, _MOST_SLACK)
        allowed += max(0.0, rounding - _ANGLE_SLACK)
        if allowed - angle < margin:
            margin, steepest, index, allowed_there = allowed - angle, angle, int(k), allowed
    if index < 0:
        most = math.degrees(case.job.material.max_ramp_angle)
        return Obligation(
            name="entries_safe",
            held=True,
            what="Every first contact is from air.",
            measured=0.0,
            allowed=most,
            margin=most,
            unit="deg",
        )
    held = margin >= -_ANGLE_SLACK
    # rounding's share is shown where it is needed, so that held is a margin of 0 or more
    granted = _ANGLE_SLACK if held and margin < 0 else 0.0
    degrees = math.degrees(steepest)
    return Obligation(
        name="entries_safe",
        held=held,
        what=f"The steepest ramp or helix into material goes down at {degrees:.2f} degrees.",
        measured=degrees,
        allowed=math.degrees(allowed_there + granted),
        margin=math.degrees(margin + granted),
        unit="deg",
        worst=case.place(index),
        remedy=""
        if held
        else f"ramp at {math.degrees(allowed_there):.2f} degrees at most: make the way down longer",
    )


def last_decimal(job: Job) -> float:
    """One step of the last decimal of straight moves, mm."""
    inch, places = job.units == "inch", job.machine.program.decimals
    if places is None:
        places = 4 if inch else 3
    return float((25.4 if inch else 1.0) * 10.0**-places)


def _plunge(case: Case, index: int) -> Obligation:
    depth = float(case.cut.facts.depth[index])
    return Obligation(
        name="entries_safe",
        held=False,
        what=f"The cutter goes straight down {case.length(depth)} into material.",
        measured=90.0,
        allowed=math.degrees(case.job.material.max_ramp_angle),
        margin=math.degrees(case.job.material.max_ramp_angle) - 90.0,
        unit="deg",
        worst=case.place(index),
        remedy="go down in air beside the stock or in cleared area, or ramp or helix down",
    )


def _no_centre(case: Case, index: int) -> Obligation:
    tool = case.tools[index]
    assert tool is not None
    least = DEAD_CENTRE * tool.diameter
    return Obligation(
        name="entries_safe",
        held=False,
        what=f"{tool.name} does not cut to its centre, but slopes into material.",
        measured=2 * case.motions[index].radius,
        allowed=least,
        margin=2 * case.motions[index].radius - least,
        unit="mm",
        worst=case.place(index),
        remedy=f"use a centre-cutting cutter, or a helix at least {case.length(least)} wide",
    )
