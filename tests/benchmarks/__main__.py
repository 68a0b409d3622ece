"""One table of what the compiler costs and what its paths are worth, job by job.

    python -m tests.benchmarks [--save FILE] [--against FILE] [--clearing NAME ...] [SPEC ...]

For each job: processor seconds of each stage in this process, then of `check` and of `build` as
commands of their own with their time by the clock and peak memory; cutting length, lifts, the
largest engaged angle, the time at the machine. First the floor: what starting Python and loading
the libraries costs. The plates for constant engagement come after, by `clearing.py`: all of them
and the growth from 60 to 240 bosses where neither SPEC nor `--clearing` is given.

`--save` keeps the figures; `--against` prints each as a ratio to what was kept, so that two
revisions are compared on one machine. Run it on a machine that is otherwise idle.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / each) for each in (".", "tests", "tests/paths", "tests/benchmarks")]

Row = dict[str, float]
T = TypeVar("T")
STAGES = ("read", "choose", "part", "plan", "cut", "write", "evidence", "sheet")
FACTS = ("cut_m", "rapid_m", "lifts", "angle", "machine_min", "blocks")
WHOLE = ("check_s", "check_wall_s", "check_mb", "build_s", "build_wall_s", "build_mb")


class Stopwatch:
    """Processor seconds of named steps."""

    def __init__(self) -> None:
        self.row: Row = {}

    def __call__(self, name: str, step: Callable[[], T]) -> T:
        """Run a step and note what it took."""
        start = time.process_time()
        result = step()
        self.row[name] = time.process_time() - start
        return result


def stages(spec: Path, member: str) -> Row:
    """Seconds of each stage, and what the evidence says of the program."""
    from compiler.commands.product import outputs_of
    from compiler.judge.judge import examine
    from compiler.part.build import build_part
    from compiler.paths.cut import cut
    from compiler.plan.lower import lower
    from compiler.road import Journey, lower_job
    from compiler.spec.load import load_job
    from compiler.write import write

    watch = Stopwatch()
    job = needed(watch("read", lambda: load_job(spec, ROOT, member))).job
    if job.open_passes:  # cutters are chosen by planning in full: a stage of its own
        chosen = watch("choose", lambda: lower_job(job)).job
        assert chosen is not None
        job = chosen
    part = needed(watch("part", lambda: build_part(job)))
    plan = needed(watch("plan", lambda: lower(job, part)))
    motions = needed(watch("cut", lambda: cut(job, part, plan)))
    written = watch("write", lambda: write(job=job, plan=plan, motions=motions))
    judged = watch(
        "evidence",
        lambda: examine(
            job=job,
            part=part,
            plan=plan,
            motions=motions,
            text=written.text,
            line_owner=written.line_owner,
        ),
    )
    report = judged.report
    journey = Journey(
        job=job,
        part=part,
        plan=plan,
        motions=motions,
        written=written,
        report=report,
        case=judged.case,
    )
    watch("sheet", lambda: outputs_of(journey))
    facts = report.operations
    return {
        **watch.row,
        "cut_m": sum(each.cut_length_mm for each in facts) / 1000,
        "rapid_m": sum(each.rapid_length_mm for each in facts) / 1000,
        "lifts": float(sum(each.lifts for each in facts)),
        "angle": max(each.peak_engagement_deg or 0.0 for each in facts),
        "machine_min": report.time_s / 60,
        "blocks": float(report.blocks),
    }


def needed(outcome: Any) -> Any:
    """The value of a stage that must not fail here."""
    assert outcome.value is not None and not outcome.failed, outcome.findings
    return outcome.value


def command(*words: str) -> tuple[float, float, float]:
    """A command of its own: processor seconds, seconds by the clock, and MB at its peak."""
    start = time.monotonic()
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(
        [sys.executable, *words],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, words
    wall = time.monotonic() - start
    return used.ru_utime + used.ru_stime, wall, used.ru_maxrss / 1024


def commands(said: str) -> Row:
    """`check` and `build` of one job, from nothing to its files."""
    check = command("-m", "compiler", "check", said)
    with TemporaryDirectory() as out:
        build = command("-m", "compiler", "build", said, "--out", out, "--jobs", "1")
    return dict(zip(WHOLE, (*check, *build), strict=True))


def floor() -> Row:
    """What any command pays: Python itself, `--help`, and the libraries that a build loads."""
    return {
        "python_s": command("-c", "pass")[0],
        "help_s": command("-m", "compiler", "--help")[0],
        "numpy_s": command("-c", "import numpy")[0],
        "shapely_s": command("-c", "import shapely")[0],
        "pydantic_s": command("-c", "import pydantic")[0],
        "reportlab_s": command("-c", "import reportlab.platypus")[0],
    }


def jobs(named: Iterable[str]) -> list[tuple[str, Path, str]]:
    """What is measured: its name on the command line, its file, its member."""
    from compiler.commands.project import find_jobs

    targets, missing = find_jobs(named)
    assert not missing, missing
    return [(target.said, target.path, target.member) for target in targets]


def show(name: str, row: Row, columns: Iterable[str], before: Mapping[str, float] | None) -> None:
    """One line: figures, or ratios to what was kept."""
    cells = []
    for column in columns:
        value = row.get(column)
        if value is None:
            continue
        if before is None:
            cells.append(f"{column} {value:.4g}")
        elif before.get(column):
            cells.append(f"{column} {value / before[column]:.2f}x")
    print(f"{name:34} " + "  ".join(cells), flush=True)


def main() -> int:
    """Run the command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("specs", nargs="*", metavar="SPEC")
    parser.add_argument("--save", metavar="FILE", help="keep the figures")
    parser.add_argument("--against", metavar="FILE", help="print ratios to figures that were kept")
    parser.add_argument("--clearing", nargs="*", metavar="NAME", help="these plates, or `growth`")
    asked = parser.parse_args()
    kept = json.loads(Path(asked.against).read_text()) if asked.against else {}
    rows: dict[str, Row] = {"floor": floor()}
    show("floor", rows["floor"], rows["floor"], kept.get("floor") if kept else None)
    everything = not asked.specs and asked.clearing is None
    wanted = jobs([str(ROOT / "specs")] if everything else asked.specs)
    # a new process counts the memory of the one that it came from: while that is small
    whole = {said: commands(said) for said, _, _ in wanted}
    for said, path, member in wanted:
        name = Path(said).name
        row = {**stages(path, member), **whole[said]}
        rows[name] = row
        before = kept.get(name, {}) if kept else None
        show(name, row, STAGES, before)
        show("", row, FACTS, before)
        show("", row, WHOLE, before)
    import clearing

    for name in clearing.EVERY if everything else asked.clearing or ():
        rows[name] = clearing.measured(name)
        if kept:
            show(name, rows[name], rows[name], kept.get(name, {}))
    if asked.save:
        Path(asked.save).write_text(json.dumps(rows, indent=2) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
