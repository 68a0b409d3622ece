"""What the judge catches, measured. Run by name, not in the suite:

    python tests/mutation/measure.py specs/finder-bracket.yaml 300

Each mutant is classed by the brute-force oracle and put before the judge twice: with all
obligations, and without `text_true` (which sees any difference from the plan), so that the physical
obligations must find the harm by themselves.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from pathlib import Path

from mutants import KINDS
from oracle import Oracle

from compiler.judge import judge
from compiler.road import prove_job


def main(spec: Path, count: int, seed: int = 1) -> int:
    root = Path(__file__).resolve().parents[2]
    road = prove_job(spec, root)
    assert road.loaded and road.part and road.plan and road.motions and road.written
    given = {
        "job": road.loaded.job,
        "part": road.part,
        "plan": road.plan,
        "motions": road.motions,
    }
    floor = min(level.bottom_mm for op in road.plan.operations for level in op.levels)
    oracle = Oracle(road.loaded.job, road.part, floor)
    assert oracle.harm(road.written.text) == "", oracle.harm(road.written.text)
    rng = random.Random(seed)
    lines = road.written.text.split("\n")
    table: dict[str, Counter[str]] = {kind: Counter() for kind in KINDS}
    missed: list[str] = []
    kinds = list(KINDS)
    for k in range(count):
        kind = kinds[k % len(kinds)]
        mutant = KINDS[kind](rng, lines)
        if mutant is None or mutant == lines:
            continue
        text = "\n".join(mutant)
        harm = oracle.harm(text)
        owner = list(road.written.line_owner)
        owner += [None] * (len(mutant) - len(owner))
        report = judge(**given, text=text, line_owner=owner).value
        assert report is not None
        broken = {e.name for e in report.obligations if not e.held}
        row = table[kind]
        row["mutants"] += 1
        row["harmful"] += bool(harm)
        row["caught"] += bool(broken)
        row["harm caught"] += bool(harm and broken)
        row["harm caught without text_true"] += bool(harm and broken - {"text_true"})
        if harm and not broken - {"text_true"}:
            changed = next(
                (n for n, (a, b) in enumerate(zip(lines, mutant, strict=False), 1) if a != b), 0
            )
            missed.append(f"{kind}, line {changed}: {harm}: {mutant[changed - 1]}")
    _print(table, missed)
    return 0


def _print(table: dict[str, Counter[str]], missed: list[str]) -> None:
    columns = ("mutants", "caught", "harmful", "harm caught", "harm caught without text_true")
    print(f"{'kind':24}" + "".join(f"{c:>16}" for c in columns[:-1]) + "   without text_true")
    total: Counter[str] = Counter()
    for kind, row in table.items():
        total.update(row)
        print(f"{kind:24}" + "".join(f"{row[c]:16}" for c in columns))
    print(f"{'all':24}" + "".join(f"{total[c]:16}" for c in columns))
    for line in missed:
        print("not seen without text_true:", line)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]).resolve(), int(sys.argv[2]) if len(sys.argv) > 2 else 200))
