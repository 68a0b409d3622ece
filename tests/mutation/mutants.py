"""Small changes to a program's text, as a slipping pen or a failing writer makes them."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

Lines = list[str]
Mutate = Callable[[random.Random, Lines], Lines | None]

_NUMBER = re.compile(r"([XYZIJ])(-?[0-9.]+)")


def _pick(rng: random.Random, lines: Lines, wanted: Callable[[str], bool]) -> int | None:
    found = [k for k, line in enumerate(lines) if line and line[0] not in "(;%" and wanted(line)]
    return rng.choice(found) if found else None


def _edit(letters: str, change: Callable[[random.Random, float], float]) -> Mutate:
    """Another value for one word of these letters, to the decimals that it has."""

    def mutate(rng: random.Random, lines: Lines) -> Lines | None:
        at = _pick(rng, lines, lambda s: any(m[1] in letters for m in _NUMBER.finditer(s)))
        if at is None:
            return None
        found = rng.choice([m for m in _NUMBER.finditer(lines[at]) if m[1] in letters])
        value = change(rng, float(found[2]))
        places = len(found[2].partition(".")[2])
        return _with(lines, at, found.start(2), found.end(2), f"{value:.{max(places, 3)}f}")

    return mutate


def _digit(letters: str) -> Mutate:
    """One digit of one word replaced by another."""

    def mutate(rng: random.Random, lines: Lines) -> Lines | None:
        word = re.compile(rf"([{letters}])(-?[0-9.]+)")
        at = _pick(rng, lines, lambda s: word.search(s) is not None)
        if at is None:
            return None
        found = rng.choice(list(word.finditer(lines[at])))
        digits = [k for k in range(found.start(2), found.end(2)) if lines[at][k].isdigit()]
        place = rng.choice(digits)
        other = rng.choice([d for d in "0123456789" if d != lines[at][place]])
        return _with(lines, at, place, place + 1, other)

    return mutate


def _with(lines: Lines, at: int, start: int, end: int, text: str) -> Lines:
    return [*lines[:at], lines[at][:start] + text + lines[at][end:], *lines[at + 1 :]]


def _replace(old: str, new: str) -> Mutate:
    def mutate(rng: random.Random, lines: Lines) -> Lines | None:
        at = _pick(rng, lines, lambda s: re.search(old, s) is not None)
        if at is None:
            return None
        return [*lines[:at], re.sub(old, new, lines[at], count=1), *lines[at + 1 :]]

    return mutate


def _drop(wanted: str) -> Mutate:
    def mutate(rng: random.Random, lines: Lines) -> Lines | None:
        at = _pick(rng, lines, lambda s: re.search(wanted, s) is not None)
        return None if at is None else [*lines[:at], *lines[at + 1 :]]

    return mutate


def _swap(rng: random.Random, lines: Lines) -> Lines | None:
    at = _pick(rng, lines[:-1], lambda s: True)
    return None if at is None else [*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]]


def _swap_far(rng: random.Random, lines: Lines) -> Lines | None:
    a, b = _pick(rng, lines, lambda s: True), _pick(rng, lines, lambda s: True)
    if a is None or b is None or a == b:
        return None
    other = list(lines)
    other[a], other[b] = other[b], other[a]
    return other


def _double(rng: random.Random, lines: Lines) -> Lines | None:
    at = _pick(rng, lines, lambda s: bool(s.strip()))
    return None if at is None else [*lines[: at + 1], lines[at], *lines[at + 1 :]]


def _by(least: float, most: float) -> Callable[[random.Random, float], float]:
    return lambda rng, v: v + rng.choice([-1, 1]) * rng.uniform(least, most)


def _turned(rng: random.Random, lines: Lines) -> Lines | None:
    """Two words of one block with each other's values."""
    at = _pick(rng, lines, lambda s: len(_NUMBER.findall(s)) > 1)
    if at is None:
        return None
    a, b = rng.sample(list(_NUMBER.finditer(lines[at])), 2)
    first, second = sorted((a, b), key=lambda m: m.start())
    line = lines[at]
    line = line[: second.start(2)] + first[2] + line[second.end(2) :]
    line = line[: first.start(2)] + second[2] + line[first.end(2) :]
    return [*lines[:at], line, *lines[at + 1 :]]


KINDS: dict[str, Mutate] = {
    "digit changed": _digit("XYZIJ"),
    "digit of state": _digit("FSTH"),
    "coordinate nudged": _edit("XY", _by(0.002, 0.2)),
    "coordinate shifted": _edit("XY", _by(0.2, 10)),
    "centre changed": _edit("IJ", _by(0.002, 0.1)),
    "sign lost": _edit("XYZIJ", lambda rng, v: -v),
    "decimal shifted": _edit("XYZIJ", lambda rng, v: v * rng.choice([0.1, 10])),
    "Z lowered": _edit("Z", lambda rng, v: v - rng.uniform(0.02, 2)),
    "Z raised": _edit("Z", lambda rng, v: v + rng.uniform(0.02, 2)),
    "values exchanged": _turned,
    "line dropped": _drop(r"[XYZ]"),
    "line doubled": _double,
    "lines swapped": _swap,
    "far lines swapped": _swap_far,
    "clockwise turned": _replace(r"G2\b", "G3"),
    "counter-clockwise turned": _replace(r"G3\b", "G2"),
    "feed as rapid": _replace(r"G1\b", "G0"),
    "rapid as feed": _replace(r"G0\b", "G1"),
    "motion word lost": _replace(r"G[0-3]\b ?", ""),
    "retract dropped": _drop(r"(G0 Z|^Z[1-9])"),
    "tool swapped": _replace(r"T1\b", "T2"),
    "other tool swapped": _replace(r"T2\b", "T1"),
    "change dropped": _replace(r"M6\b", ""),
    "offset swapped": _replace(r"H1\b", "H2"),
    "offset dropped": _replace(r"G43 H\d+ ?", ""),
    "work offset swapped": _replace(r"G54\b", "G55"),
    "spindle dropped": _replace(r"M3\b", ""),
    "spindle reversed": _replace(r"M3\b", "M4"),
    "speed word lost": _replace(r"S\d+ ?", ""),
    "feed word lost": _replace(r" ?F[0-9.]+", ""),
    "feed tenfold": _replace(r"F([0-9]+)\.?([0-9]?)", r"F\g<1>0"),
    "unit word lost": _replace(r"G2[01]\b ?", ""),
    "unit word turned": _replace(r"G2(?=[01]\b)[01]", "G21"),
    "incremental": _replace(r"G90\b", "G91"),
    "X word lost": _replace(r" ?X-?[0-9.]+", ""),
    "Y word lost": _replace(r" ?Y-?[0-9.]+", ""),
    "Z word lost": _replace(r" ?Z-?[0-9.]+", ""),
    "end lost": _drop(r"M30|M2\b"),
}
