"""What the judge catches, measured on changed programs of the example jobs.

    python -m tests.mutation                       2,100 mutants over all jobs in specs/
    python -m tests.mutation --count 300 specs/finder-bracket.yaml

Each mutant is classed by the brute-force oracle, and put before the judge as `verify` would see it:
its lines' owners are told from the text. What counts is whether one of the physical obligations
breaks; `text_true`, which sees any difference from the plan, is counted apart and not needed.
`--harmful` judges only what the oracle calls harmful, in half the time: whether harm passes is told
all the same, how much that is harmless is stopped is not. Ends with status 1 where harm passes.
"""

from __future__ import annotations

import argparse
import math
import multiprocessing
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from mutants import KINDS
from oracle import Oracle

from compiler.judge.judge import examine
from compiler.road import Journey, blank_of, prove_job

ROOT = Path(__file__).resolve().parents[2]
NOT_NEEDED = "text_true"
READER = "(refused by the reader)"
PART = 38  # mutants in one go: each kind once


@dataclass(frozen=True)
class Verdict:
    """One mutant: what was done to the text, the harm that is sure, and what the judge broke."""

    job: str
    kind: str
    change: str
    harm: str
    broken: frozenset[str]
    seconds: float

    @property
    def seen(self) -> frozenset[str]:
        """What would stop the program without a plan to compare it with."""
        return self.broken - {NOT_NEEDED}


@dataclass
class World:
    """A good program with all that is needed to judge its mutants."""

    name: str
    journey: Journey
    before: Journey | None  # the setup before it
    oracle: Oracle
    lines: list[str]


_WORLDS: dict[Path, tuple[World, ...]] = {}


def worlds_of(spec: Path) -> tuple[World, ...]:
    """The job compiled, once in each process: a world for each of its setups."""
    if spec not in _WORLDS:
        road = prove_job(spec, ROOT)
        assert not road.failed
        _WORLDS[spec] = tuple(
            _world(spec, one, before)
            for before, one in zip((None, *road.before), road.setups, strict=True)
        )
    return _WORLDS[spec]


def _world(spec: Path, road: Journey, before: Journey | None) -> World:
    assert road.job and road.part and road.plan and road.written
    name = f"{spec.stem} {road.job.setup.name}" if road.job.setup else spec.stem
    oracle = Oracle(road.job, road.part, road.plan)
    harm = oracle.start(road.written.text)
    assert harm == "", f"the oracle calls the good program harmful: {name}: {harm}"
    return World(name, road, before, oracle, road.written.text.split("\n"))


def verdicts(world: World, count: int, seed: int, harmful: bool) -> Iterator[Verdict]:
    """`count` mutants of one program, all kinds in turn."""
    rng = random.Random(f"{world.name} {seed}")
    kinds = list(KINDS)
    rng.shuffle(kinds)
    made = tries = 0
    while made < count and tries < 10 * count:
        kind = kinds[tries % len(kinds)]
        tries += 1
        mutant = KINDS[kind](rng, world.lines)
        if mutant is None or mutant == world.lines:
            continue
        made += 1
        harm = world.oracle.harm("\n".join(mutant))
        if harm or not harmful:
            yield _judged(world, kind, mutant, harm)
        else:
            yield Verdict(world.name, kind, "", "", frozenset(), 0.0)


def _judged(world: World, kind: str, mutant: list[str], harm: str) -> Verdict:
    text = "\n".join(mutant)
    road = world.journey
    assert road.job and road.part and road.plan and road.motions
    start = time.process_time()
    # of a job of several setups the last one's program is changed, on what those before left
    report = examine(
        job=road.job,
        part=road.part,
        plan=road.plan,
        motions=road.motions,
        text=text,
        blank=blank_of(road.job, world.before),
    ).report
    spent = time.process_time() - start
    broken = {entry.name for entry in report.obligations if not entry.held}
    if report.blocks == 0:
        broken = {READER}
    pairs = enumerate(zip(world.lines, mutant, strict=False), 1)
    at = next((n for n, (a, b) in pairs if a != b), 0)
    old, new = world.lines[at - 1], mutant[at - 1]
    change = f"line {at}: `{old}` now `{new}`"
    return Verdict(world.name, kind, change, harm, frozenset(broken), spent)


def _chunk(task: tuple[Path, int, int, int, bool]) -> list[Verdict]:
    spec, setup, *rest = task
    return list(verdicts(worlds_of(spec)[setup], *rest))


def table(found: Sequence[Verdict], by: str) -> str:
    """Counts by job or kind of change."""
    rows: dict[str, Counter[str]] = {}
    for verdict in found:
        row = rows.setdefault(getattr(verdict, by), Counter())
        row.update(
            mutants=1,
            stopped=bool(verdict.seen),
            harmful=bool(verdict.harm),
            passed=bool(verdict.harm) and not verdict.seen,
        )
    columns = ("mutants", "stopped", "harmful", "passed")
    lines = [f"{by:26}{'mutants':>9}{'stopped':>9}{'harmful':>9}{'harm passed':>13}"]
    total: Counter[str] = Counter()
    for name in sorted(rows):
        total.update(rows[name])
        lines.append(f"{name:26}" + _cells(rows[name], columns))
    return "\n".join([*lines, f"{'all':26}" + _cells(total, columns)])


def _cells(row: Counter[str], columns: Sequence[str]) -> str:
    return "".join(f"{row[c]:{13 if c == 'passed' else 9}}" for c in columns)


def by_obligation(found: Sequence[Verdict]) -> str:
    """What each obligation saw: mutants, harmful ones, and harm that it alone saw."""
    names = sorted({name for verdict in found for name in verdict.broken})
    lines = [f"{'obligation':26}{'broken by':>10}{'harmful':>9}{'harm it alone saw':>19}"]
    for name in names:
        broke = [v for v in found if name in v.broken]
        harmful = [v for v in broke if v.harm]
        alone = sum(v.seen == {name} for v in harmful)
        lines.append(f"{name:26}{len(broke):10}{len(harmful):9}{alone:19}")
    return "\n".join(lines)


def _tasks(
    specs: Sequence[Path], count: int, seed: int, harmful: bool
) -> Iterator[tuple[Path, int, int, int, bool]]:
    """Every program its share, the longer the smaller; in parts, the programs in turn."""
    # compiled before the processes part, so that they share what is made here
    programs = [(spec, at, world) for spec in specs for at, world in enumerate(worlds_of(spec))]
    weights = [1 / len(world.lines) for _, _, world in programs]
    left = [math.ceil(count * weight / sum(weights)) for weight in weights]
    part = 0
    while any(left):
        for k, (spec, at, _) in enumerate(programs):
            size = min(PART, left[k])
            left[k] -= size
            if size:
                yield spec, at, size, 1000 * seed + part, harmful
        part += 1


def main(arguments: Sequence[str] | None = None) -> int:
    """Run mutants of the named jobs, or of all in specs/, and print the figures."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("specs", nargs="*", metavar="SPEC", type=Path)
    parser.add_argument("--count", type=int, default=2100, help="mutants in all (%(default)s)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2, help="processes (%(default)s)")
    parser.add_argument(
        "--harmful", action="store_true", help="judge only mutants that the oracle calls harmful"
    )
    asked = parser.parse_args(arguments)
    specs = [s.resolve() for s in asked.specs] or sorted(
        s for s in (ROOT / "specs").glob("*.yaml") if s.stem != "shop"
    )
    tasks = list(_tasks(specs, asked.count, asked.seed, asked.harmful))
    total = sum(size for _, _, size, _, _ in tasks)
    found: list[Verdict] = []
    start = time.monotonic()
    with multiprocessing.get_context("fork").Pool(asked.jobs) as pool:
        for part in pool.imap_unordered(_chunk, tasks):
            found += part
            passed = sum(bool(v.harm) and not v.seen for v in found)
            print(f"{len(found)} of {total}, harm passed: {passed}", file=sys.stderr, flush=True)
    for text in (table(found, "job"), table(found, "kind"), by_obligation(found)):
        print(text + "\n")
    judged = [v.seconds for v in found if v.seconds]
    mean = sum(judged) / max(1, len(judged))
    print(f"{mean:.3f} s CPU to judge one mutant, {time.monotonic() - start:.0f} s in all")
    missed = sorted((v for v in found if v.harm and not v.seen), key=lambda v: (v.job, v.change))
    for v in missed:
        planned = "" if v.broken else ", nor by text_true"
        print(f"not stopped{planned}: {v.job}, {v.kind}: {v.harm}; {v.change}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
