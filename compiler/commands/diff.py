"""`diff`: what changes between two specs, in what they say and in what is cut."""

from __future__ import annotations

import argparse
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import Target, find_root, one_job
from compiler.commands.shell import Shell
from compiler.diagnostics import Diagnostic

if TYPE_CHECKING:
    from compiler.compare.compare import Compiled
    from compiler.compare.model import Difference
    from compiler.job import Job
    from compiler.road import Journey
    from compiler.spec.load import Loaded


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "before", metavar="A", help="a file, FILE#MEMBER, or REVISION:PATH of the git work tree"
    )
    parser.add_argument(
        "after",
        metavar="B",
        nargs="?",
        help="the same (default: from A as its last commit has it)",
    )
    parser.add_argument("--markdown", action="store_true", help="as Markdown, for a review")
    parser.add_argument(
        "--svg", metavar="FILE", help="also draw the old outlines under the new into a file"
    )
    parser.add_argument(
        "--quick", action="store_true", help="compare plans only; cut and judge nothing"
    )
    parser.add_argument(
        "--exit-code", action="store_true", help="end with 1 where anything changes"
    )


@dataclass(frozen=True, slots=True)
class _Asked:
    """One side: as it was said, and where it is."""

    said: str
    target: Target
    root: Path


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.commands.revision import NoRevisionError

    before, after = asked.before, asked.after
    if after is None:
        before, after = _last_commit(before), before
    with ExitStack() as stack:
        try:
            sides = [_side(said, stack) for said in (before, after)]
        except NoRevisionError as fault:
            shell.findings((_no_revision(str(fault)),), {})
            return UNABLE
        except FileNotFoundError as fault:
            shell.findings(fault.args[0], {})
            return UNABLE
        compiled = _compiled(sides, shell, quick=asked.quick)
    if compiled is None:
        return SHORT
    from compiler.compare import compare

    difference = compare(*compiled)
    _tell(difference, compiled, asked, shell)
    if compiled[1].plan is None or any(not m.held_after for m in difference.margins):
        return SHORT
    return SHORT if asked.exit_code and not difference.is_empty else GOOD


def _last_commit(said: str) -> str:
    path = Path(said)
    return f"HEAD:{said}" if path.is_absolute() else f"HEAD:./{said}"


def _side(said: str, stack: ExitStack) -> _Asked:
    from compiler.commands.revision import is_revision, taken_out

    if is_revision(said):
        file, _, member = said.partition("#")
        spec = stack.enter_context(taken_out(file))
        return _Asked(said, Target(spec.path, member), spec.root)
    target, missing = one_job(said)
    if missing:
        raise FileNotFoundError(missing)
    return _Asked(said, target, find_root(target.path))


def _compiled(
    sides: list[_Asked], shell: Shell, *, quick: bool
) -> tuple[Compiled, Compiled] | None:
    """Both sides as far as they come; None where one can't be read, which is told."""
    from compiler.spec.load import load_job

    read = [load_job(side.target.path, side.root, side.target.member) for side in sides]
    for reading in read:
        if reading.value is None:
            shell.findings(reading.findings, reading.sources)
    loaded = [reading.value for reading in read if reading.value is not None]
    if len(loaded) < 2:
        return None
    journeys = _journeys([item.job for item in loaded], quick=quick)
    both = []
    for side, item, journey in zip(sides, loaded, journeys, strict=True):
        if journey.failed:
            shell.say(f"{side.said} falls short:")
            shell.findings(item.origins.explain(journey.findings), item.sources)
        both.append(_as_compiled(side, item, journey))
    return both[0], both[1]


def _journeys(jobs: list[Job], *, quick: bool) -> list[Journey]:
    """Both jobs compiled, side by side; once only where they are the same."""
    from compiler.commands.workers import cores, side_by_side
    from compiler.road import compile_job, lower_job

    if quick:
        return [lower_job(job) for job in jobs]
    if jobs[0].digest == jobs[1].digest:
        return [compile_job(jobs[0])] * 2
    tasks = [(number, (job,)) for number, job in enumerate(jobs)]
    found = dict(side_by_side(compile_job, tasks, count=min(2, cores())))
    return [found[0], found[1]]


def _as_compiled(side: _Asked, loaded: Loaded, journey: Journey) -> Compiled:
    from compiler.compare.compare import Compiled

    return Compiled(
        said=side.said,
        loaded=loaded,
        part=journey.part,
        plan=journey.plan,
        report=journey.report,
        program=None if journey.written is None else journey.written.text,
    )


def _tell(
    difference: Difference,
    compiled: tuple[Compiled, Compiled],
    asked: argparse.Namespace,
    shell: Shell,
) -> None:
    from compiler.compare.markdown import as_markdown
    from compiler.compare.text import as_text

    if shell.format == "json":
        shell.result(difference.model_dump_json(indent=2))
    else:
        shell.result(as_markdown(difference) if asked.markdown else as_text(difference))
    before, after = compiled[0].part, compiled[1].part
    if asked.svg and before is not None and after is not None:
        from compiler.compare.picture import as_svg

        picture = as_svg(difference, before, after)
        Path(asked.svg).write_text(picture, encoding="utf-8", newline="\n")
        shell.say(f"wrote {asked.svg}")
    elif asked.svg:
        shell.say(f"{asked.svg}: not written; one of the jobs has no sound outlines")


def _no_revision(message: str) -> Diagnostic:
    return Diagnostic(
        code="E610",
        message=message,
        help="write REVISION:PATH, as `HEAD~1:specs/plate.yaml`; the path is taken from the root "
        "of the git work tree, or from the current folder where it begins with `./`",
    )


COMMAND = Command(
    name="diff",
    about="Say what changes between two specs: values, outlines, tools, speeds, time, margins.",
    arguments=_arguments,
    run=_run,
)
