"""The time on the sheet against a second reckoning that shares nothing with the first.

The emitted text is read here by a few regular expressions, laid out as points a twentieth of a
millimetre apart, and its speed is integrated along them: never above the feed or the rapid rate,
never gaining or losing more than the machine's acceleration allows (v dv = a ds), at rest where a
rapid begins or ends and where the way turns by more than 10 degrees. Plane kinematics.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from conftest import example

from compiler.job.model import Machine

STEP = 0.05  # mm
WORD = re.compile(r"([A-Z])\s*([-+]?[0-9.]+)")
SMOOTH = math.radians(10)


@dataclass(frozen=True)
class Leg:
    """One move: its points, mm, at what rate, and whether it must begin and end at rest."""

    points: np.ndarray
    rate: float  # mm/s
    is_rapid: bool


def legs(text: str, machine: Machine) -> Iterator[Leg | float]:
    """The moves of a program; a bare number is seconds at rest."""
    at: dict[str, float] = {}
    motion, feed, scale = 0, 0.0, 1.0
    for line in text.splitlines():
        words = WORD.findall(re.sub(r"\([^)]*\)", "", line))
        said = {letter: float(number) for letter, number in words if letter not in "GM"}
        codes = {(letter, float(number)) for letter, number in words if letter in "GM"}
        scale = 25.4 if ("G", 20) in codes else 1.0 if ("G", 21) in codes else scale
        if ("M", 6) in codes:
            yield machine.change_time
        if ("G", 4) in codes:
            yield said["P"]
            continue
        for code in (0, 1, 2, 3):
            motion = code if ("G", code) in codes else motion
        feed = said["F"] * scale if "F" in said else feed
        goal = {**at, **{axis: said[axis] * scale for axis in "XYZ" if axis in said}}
        if goal != at and len(at) == 3:
            start = np.array([at[a] for a in "XYZ"])
            end = np.array([goal[a] for a in "XYZ"])
            rate = machine.rapid if motion == 0 else min(feed, machine.max_feed)
            centre = np.array([said.get("I", 0.0), said.get("J", 0.0)]) * scale
            yield Leg(way(start, end, centre, motion), rate / 60, motion == 0)
        elif motion > 1 and ("I" in said or "J" in said):  # a full circle
            start = np.array([at[a] for a in "XYZ"])
            centre = np.array([said.get("I", 0.0), said.get("J", 0.0)]) * scale
            rate = min(feed, machine.max_feed) / 60
            yield Leg(way(start, start, centre, motion), rate, False)
        at = goal


def way(start: np.ndarray, end: np.ndarray, centre: np.ndarray, motion: int) -> np.ndarray:
    if motion < 2:
        count = max(2, math.ceil(float(np.linalg.norm(end - start)) / STEP) + 1)
        return np.linspace(start, end, count)
    middle = start[:2] + centre
    first = math.atan2(*(start[:2] - middle)[::-1])
    turn = math.atan2(*(end[:2] - middle)[::-1]) - first
    turn = turn % math.tau if motion == 3 else -((-turn) % math.tau)
    if abs(turn) < 1e-9:
        turn = math.tau if motion == 3 else -math.tau
    radius = float(np.linalg.norm(centre))
    count = max(8, math.ceil(abs(turn) * radius / STEP) + 1)
    angles = first + turn * np.linspace(0, 1, count)
    heights = np.linspace(start[2], end[2], count)
    return np.column_stack(
        [middle[0] + radius * np.cos(angles), middle[1] + radius * np.sin(angles), heights]
    )


def seconds(text: str, machine: Machine) -> float:
    """The whole program, s."""
    total, run = 0.0, list[Leg]()
    for leg in legs(text, machine):
        if isinstance(leg, float | int):
            total += float(leg)
            continue
        if run and (leg.is_rapid or run[-1].is_rapid or turns(run[-1], leg)):
            total += integrated(run, machine.acceleration)
            run = []
        run.append(leg)
    return total + (integrated(run, machine.acceleration) if run else 0.0)


def turns(before: Leg, after: Leg) -> bool:
    """Whether the way turns sharply from one leg to the next."""
    a = before.points[-1] - before.points[-2]
    b = after.points[1] - after.points[0]
    cosine = float(a @ b / np.linalg.norm(a) / np.linalg.norm(b))
    return math.acos(max(-1.0, min(1.0, cosine))) > SMOOTH


def integrated(run: list[Leg], acceleration: float) -> float:
    """Time along legs without a stop between them: v dv = a ds, forwards and back over points."""
    lengths = np.concatenate([np.linalg.norm(np.diff(leg.points, axis=0), axis=1) for leg in run])
    most = np.concatenate([np.full(len(leg.points) - 1, leg.rate) for leg in run])
    speed = np.empty(len(lengths) + 1)
    speed[1:-1] = np.minimum(most[:-1], most[1:])
    speed[0] = speed[-1] = 0.0
    for k in range(len(lengths)):
        speed[k + 1] = min(speed[k + 1], math.sqrt(speed[k] ** 2 + 2 * acceleration * lengths[k]))
    for k in range(len(lengths) - 1, -1, -1):
        speed[k] = min(speed[k], math.sqrt(speed[k + 1] ** 2 + 2 * acceleration * lengths[k]))
    # between two points the speed changes evenly; where both are at rest it rises and falls
    mean = (speed[:-1] + speed[1:]) / 2
    peak = np.sqrt(acceleration * lengths) / 2
    return float(np.sum(lengths / np.maximum(mean, np.where(mean > 0, 0.0, peak))))


@pytest.mark.parametrize(
    "name",
    ["finder-bracket", "focuser-ring", "eyepiece-bracket"],
)
def test_the_examples_take_as_long_as_their_sheets_say(name: str) -> None:
    journey = example(name)
    assert journey.written is not None and journey.report is not None and journey.job is not None
    machine = journey.job.machine
    again = seconds(journey.written.text, machine)
    assert journey.report.time_s == pytest.approx(again, rel=0.02)
    # and by operation: the sum of all, with the changes, is the whole
    parts = sum(entry.time_s for entry in journey.report.operations)
    changes = journey.written.text.count("M6") * machine.change_time
    assert parts + changes == pytest.approx(journey.report.time_s, rel=0.02)


def test_a_square_by_hand() -> None:
    # four sides of 60 mm at 1200 mm/min, 20 mm/s; 100 mm/s2: 3 s and 0.2 s each, stops at corners
    machine = Machine(name="m", max_rpm=1, max_feed=5000, rapid=6000, acceleration=100)
    text = "G21\nG0 X0 Y0 Z0\nG1 F1200 X60\nY60\nX0\nY0\n"
    assert seconds(text, machine) == pytest.approx(4 * 3.2, rel=1e-3)
