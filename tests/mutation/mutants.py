"""Small changes to a program's text, as a slipping pen or a failing writer makes them."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

_NUMBER = re.compile(r"([XYZIJ])(-?[0-9.]+)")


def _pick(rng: random.Random, lines: list[str], wanted: Callable[[str], bool]) -> int | None:
    found = [k for k, line in enumerate(lines) if wanted(line) and not line.startswith("(")]
    return rng.choice(found) if found else None


def _edit(letters: str, change: Callable[[random.Random, float], float]):
    def mutate(rng: random.Random, lines: list[str]) -> list[str] | None:
        at = _pick(rng, lines, lambda s: any(m[1] in letters for m in _NUMBER.finditer(s)))
        if at is None:
            return None
        found = rng.choice([m for m in _NUMBER.finditer(lines[at]) if m[1] in letters])
        value = change(rng, float(found[2]))
        places = len(found[2].partition(".")[2])
        text = f"{found[1]}{value:.{max(places, 3)}f}"
        return [
            *lines[:at],
            lines[at][: found.start()] + text + lines[at][found.end() :],
            *lines[at + 1 :],
        ]

    return mutate


def _replace(old: str, new: str):
    def mutate(rng: random.Random, lines: list[str]) -> list[str] | None:
        at = _pick(rng, lines, lambda s: re.search(old, s) is not None)
        if at is None:
            return None
        return [*lines[:at], re.sub(old, new, lines[at], count=1), *lines[at + 1 :]]

    return mutate


def _drop(wanted: str):
    def mutate(rng: random.Random, lines: list[str]) -> list[str] | None:
        at = _pick(rng, lines, lambda s: re.search(wanted, s) is not None)
        return None if at is None else [*lines[:at], *lines[at + 1 :]]

    return mutate


def _swap(rng: random.Random, lines: list[str]) -> list[str] | None:
    at = rng.randrange(len(lines) - 1)
    return [*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]]


def _double(rng: random.Random, lines: list[str]) -> list[str] | None:
    at = _pick(rng, lines, lambda s: bool(s.strip()))
    return None if at is None else [*lines[: at + 1], lines[at], *lines[at + 1 :]]


def _by(least: float, most: float) -> Callable[[random.Random, float], float]:
    return lambda rng, v: v + rng.choice([-1, 1]) * rng.uniform(least, most)


KINDS = {
    "coordinate nudged": _edit(
        "XY", lambda rng, v: v + rng.choice([-1, 1]) * rng.uniform(0.002, 0.2)
    ),
    "coordinate shifted": _edit(
        "XY", lambda rng, v: v + rng.choice([-1, 1]) * rng.uniform(0.2, 10)
    ),
    "sign lost": _edit("XYZIJ", lambda rng, v: -v),
    "decimal shifted": _edit("XYZ", lambda rng, v: v * rng.choice([0.1, 10])),
    "depth changed": _edit("Z", lambda rng, v: v - rng.uniform(0.05, 2)),
    "centre changed": _edit("IJ", lambda rng, v: v + rng.uniform(-0.1, 0.1)),
    "arc sense": _replace(r"G2\b", "G3"),
    "other arc sense": _replace(r"G3\b", "G2"),
    "feed as rapid": _replace(r"G1\b", "G0"),
    "rapid as feed": _replace(r"G0\b", "G1"),
    "line dropped": _drop(r"[XYZ]"),
    "retract dropped": _drop(r"G0 Z"),
    "spindle dropped": _drop(r"M3"),
    "tool swapped": _replace(r"T1\b", "T2"),
    "offset dropped": _replace(r"G43 H\d+ ?", ""),
    "spindle reversed": _replace(r"M3\b", "M4"),
    "units": _replace(r"G20", "G21"),
    "lines swapped": _swap,
    "line doubled": _double,
    "Z word dropped": _replace(r" ?Z-?[0-9.]+", ""),
    "X word dropped": _replace(r" ?X-?[0-9.]+", ""),
}
