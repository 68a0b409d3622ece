"""The two sides of a `diff`: found in the work tree or in a revision, and compiled."""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.progress import Progress
from compiler.commands.project import Target, language, one_job
from compiler.commands.revision import is_revision, taken_out, work_tree
from compiler.commands.shell import Shell
from compiler.diagnostics import Diagnostic
from compiler.spec.root import find_root

if TYPE_CHECKING:
    from compiler.compare.compare import Compiled
    from compiler.job import Job
    from compiler.road import Journey
    from compiler.spec.load import Loaded


class MissingFileError(Exception):
    """A file that was named is not there; `findings` tell."""

    def __init__(self, findings: tuple[Diagnostic, ...]) -> None:
        super().__init__()
        self.findings = findings


@dataclass(frozen=True, slots=True)
class Side:
    """One side: as it was said, and where it is."""

    said: str
    target: Target
    root: Path

    def members(self) -> tuple[str, ...]:
        """The names in its table, where it is a whole family; none for a single job."""
        from compiler.spec.families.member import member_names

        if self.target.member or language(self.target.path) != "family":
            return ()
        return member_names(self.target.path, self.root.resolve()) or ()

    def member(self, name: str) -> Side:
        """One member of a whole family."""
        target = replace(self.target, member=name)
        return Side(f"{self.said}#{name}", target, self.root)


def both_named(before: str, after: str | None) -> tuple[str, str]:
    """What is compared where only one side was named: a file with its last commit, a revision's
    file with what the work tree has now. Raises NoRevisionError.
    """
    if after is not None:
        return before, after
    if is_revision(before):
        path = before.partition(":")[2]
        inner = Path(path) if path.startswith((".", "..")) else work_tree() / path
        return before, os.path.relpath(inner)
    path, mark, member = before.partition("#")
    work_tree()  # where there is none, a second file is what is wanted
    inner = Path(os.path.relpath(path))
    return f"HEAD:./{inner.as_posix()}{mark}{member}", before


def find_side(said: str, stack: ExitStack) -> Side:
    """Where a side is; a revision's files are there until the stack closes.

    Raises NoRevisionError, MissingFileError.
    """
    if is_revision(said):
        file, _, member = said.partition("#")
        spec = stack.enter_context(taken_out(file))
        return Side(said, Target(spec.path, member), spec.root)
    target, missing = one_job(said)
    if missing:
        raise MissingFileError(missing)
    return Side(said, target, find_root(target.path))


def read_sides(sides: Sequence[Side], shell: Shell) -> list[Loaded] | None:
    """Both jobs read; None where one can't be, which is told."""
    from compiler.spec.load import load_job

    read = [load_job(side.target.path, side.root, side.target.member) for side in sides]
    for reading in read:
        if reading.value is None:
            shell.findings(reading.findings, reading.sources)
    loaded = [reading.value for reading in read if reading.value is not None]
    return loaded if len(loaded) == len(sides) else None


def compile_sides(
    sides: Sequence[Side], loaded: Sequence[Loaded], shell: Shell, *, quick: bool
) -> list[tuple[Compiled, Compiled]]:
    """Both sides as far as they come, a pair for each setup that both have; where one falls short,
    that is told.
    """
    progress = Progress(shell, len(sides))
    doing = "planning" if quick else "compiling and proving"
    progress.say(f"{doing} {' and '.join(side.said for side in sides)}")
    journeys = _journeys([item.jobs for item in loaded], quick=quick)
    progress.clear()
    both = []
    for side, item, journey in zip(sides, loaded, journeys, strict=True):
        if journey.failed:
            shell.say(f"{side.said} falls short:")
            shell.findings(item.origins.explain(journey.findings), item.sources)
        both.append([_as_compiled(side, item, each) for each in journey.setups])
    old, new = both
    if not old[0].setup or not new[0].setup:
        return [(old[0], new[0])]
    was = {each.setup: each for each in old}
    pairs = [(was[each.setup], each) for each in new if each.setup in was] or [(old[0], new[0])]
    return [(a, replace(b, is_first=k == 0)) for k, (a, b) in enumerate(pairs)]


def _journeys(jobs: Sequence[tuple[Job, ...]], *, quick: bool) -> list[Journey]:
    """Both jobs compiled, side by side; once only where they are the same."""
    from compiler.commands.fault import lost_finding
    from compiler.commands.workers import cores, side_by_side
    from compiler.road import Journey, compile_setups, lower_setups

    if quick:
        return [lower_setups(setups) for setups in jobs]
    if jobs[0][0].digest == jobs[1][0].digest:
        return [compile_setups(jobs[0])] * 2
    tasks = [(number, (setups,)) for number, setups in enumerate(jobs)]
    found = dict(side_by_side(compile_setups, tasks, count=min(2, cores())))
    lost = Journey(findings=(lost_finding(),))
    return [found[0] or lost, found[1] or lost]


def _as_compiled(side: Side, loaded: Loaded, journey: Journey) -> Compiled:
    from compiler.compare.compare import Compiled

    return Compiled(
        said=side.said,
        loaded=loaded,
        setup=journey.job.setup.name if journey.job and journey.job.setup else "",
        part=journey.part,
        plan=journey.plan,
        report=journey.report,
        program=None if journey.written is None else journey.written.text,
    )
