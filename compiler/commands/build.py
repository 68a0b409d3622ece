"""`build`: the program, the setup sheet and the evidence, written only when all of it holds."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import find_jobs
from compiler.commands.shell import Shell
from compiler.commands.verdict import uncut_words
from compiler.units.number import counted

if TYPE_CHECKING:
    from compiler.commands.tree import Result, Wish
    from compiler.diagnostics import Diagnostic
    from compiler.prove_out.model import ProveOut

STATUS = {
    "built": GOOD,
    "up to date": GOOD,
    "out of date": SHORT,
    "falls short": SHORT,
    "not written": UNABLE,
}


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "specs",
        nargs="+",
        metavar="SPEC",
        help="job files, families, members as FILE#NAME, or folders of them",
    )
    parser.add_argument("--out", metavar="DIR", help="where to (default: out/ beside each spec)")
    parser.add_argument(
        "--check",
        action="store_true",
        help="write nothing; say which outputs are not what a build would write",
    )
    parser.add_argument("--all", action="store_true", help="build also what is up to date")
    parser.add_argument(
        "--sheet",
        choices=("pdf", "md", "both"),
        default="pdf",
        help="form of the setup sheet (default: %(default)s)",
    )
    parser.add_argument(
        "--pictures",
        choices=("svg", "png", "both"),
        default="svg",
        help="form of the pictures (default: %(default)s)",
    )
    parser.add_argument(
        "--commit",
        type=_commit,
        metavar="ID",
        default=None,
        help="print this commit on every page of the sheet, as $(git rev-parse --short HEAD)",
    )
    parser.add_argument(
        "--prove-out",
        action="store_true",
        help="also write NAME.prove-out.nc to try the job with: the same path raised so that it "
        "cuts air",
    )
    parser.add_argument(
        "--raise",
        dest="raise_by",
        metavar="LENGTH",
        default="",
        help="with --prove-out: how far up, as `30 mm` (default: as far as it takes)",
    )
    parser.add_argument(
        "--slow",
        type=_share,
        metavar="PERCENT",
        help="with --prove-out: not raised, but at this part of every feed; it cuts",
    )
    parser.add_argument(
        "--stops",
        action="store_true",
        help="with --prove-out: stop before each tool and above the first place of each operation",
    )
    parser.add_argument(
        "--replace-edited",
        action="store_true",
        help="also replace outputs that were changed by hand since they were built",
    )
    parser.add_argument(
        "--jobs", type=_count, metavar="N", help="how many at a time (default: one a core)"
    )
    parser.add_argument(
        "--cluster",
        metavar="ADDRESS",
        default="",
        help="hand the work to the Dask scheduler at an address, as tcp://10.0.0.5:8786",
    )


def _commit(text: str) -> str:
    if not 4 <= len(text) <= 64 or not set(text.lower()) <= set("0123456789abcdef"):
        raise argparse.ArgumentTypeError("a commit's id, in hexadecimal")
    return text.lower()


def _share(text: str) -> float:
    try:
        percent = float(text.rstrip("% "))
    except ValueError:
        percent = 0.0
    if not 1 <= percent <= 100:
        raise argparse.ArgumentTypeError("a percentage from 1 to 100")
    return percent / 100


def _prove_out(asked: argparse.Namespace) -> ProveOut | None:
    """How the prove-out program is wanted, if it is. Raises ValueError for what makes no sense."""
    from compiler.prove_out.model import ProveOut

    if not asked.prove_out:
        if asked.raise_by or asked.slow is not None or asked.stops:
            raise ValueError("--raise, --slow and --stops go with --prove-out")
        return None
    if asked.raise_by and asked.slow is not None:
        raise ValueError("--raise and --slow exclude each other")
    return ProveOut(height=asked.raise_by, feed_share=asked.slow, stops=asked.stops)


def _count(text: str) -> int:
    count = int(text)
    if count < 1:
        raise argparse.ArgumentTypeError("at least 1")
    return count


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.commands.product import PICTURES, SHEETS, Paper
    from compiler.commands.progress import Progress
    from compiler.commands.tree import Tree, Wish
    from compiler.commands.workers import NoClusterError, cores

    try:
        wanted = _prove_out(asked)
    except ValueError as fault:
        shell.findings((_misused(str(fault)),), {})
        return UNABLE
    targets, missing = find_jobs(asked.specs)
    if missing:
        shell.findings(missing, {})
    wish = Wish(
        out=Path(asked.out) if asked.out else None,
        replace_edited=asked.replace_edited,
        everything=asked.all,
        check=asked.check,
        count=asked.jobs or cores(),
        cluster=asked.cluster,
        debug=asked.debug,
        paper=Paper(
            forms=SHEETS[asked.sheet],
            pictures=PICTURES[asked.pictures],
            commit=asked.commit or "",
            prove_out=wanted,
        ),
    )
    results: dict[int, Result] = {}
    progress = Progress(shell, len(targets))
    progress.begin()
    seen: set[Diagnostic] = set()
    shown = 0
    try:
        for number, result in Tree(targets, wish).results():
            results[number] = result
            progress.step(result.target.said)
            while shown in results:  # told in the order of the jobs, whichever is done first
                progress.clear()
                _tell(results[shown], shell, seen, alone=len(targets) == 1)
                shown += 1
    except NoClusterError as fault:
        shell.findings((_no_cluster(str(fault)),), {})
        return UNABLE
    progress.clear()
    ordered = [results[number] for number in sorted(results)]
    _conclude(ordered, wish, shell)
    return max([STATUS[result.state] for result in ordered] + [UNABLE if missing else GOOD])


def _tell(result: Result, shell: Shell, seen: set[Diagnostic], *, alone: bool) -> None:
    """One job: its findings, those of a family's own text once, and what became of it."""
    new = [found for found in result.findings if found not in seen]
    seen.update(new)
    if new:
        shell.findings(new, result.sources)
    if shell.format != "text":
        return
    if not result.good and result.state != "out of date":
        if result.product is None or not result.product.files:
            shell.say(f"{result.target.said}: not built; nothing was written")
    elif alone and result.state == "built":
        from compiler.commands.summary import summary

        product, folder = result.product, result.folder
        assert product is not None and folder is not None
        shell.result(summary(product.setups, _paths(result)))
    else:
        shell.result(_line(result))


def _line(result: Result) -> str:
    from compiler.units.clock import clock

    if result.state == "out of date":
        return f"{result.job}: out of date: {', '.join(result.files)}"
    time = "" if result.time_s is None else f", {clock(result.time_s)} at the machine"
    return f"{result.job}: {result.state}{time}{uncut_words(result.findings)}"


def _conclude(results: Sequence[Result], wish: Wish, shell: Shell) -> None:
    if shell.format == "json":
        shell.result_data({"version": "build/1", "jobs": [_data(result) for result in results]})
    elif len(results) > 1:
        shell.result(_counts(results, wish.check))


def _counts(results: Sequence[Result], is_check: bool) -> str:
    """`3 of 5 jobs built, 1 up to date, 1 falls short`."""
    count = {state: sum(r.state == state for r in results) for state in STATUS}
    if is_check:
        head = f"{count['up to date']} of {counted(len(results), 'job')} up to date"
        rest: tuple[str, ...] = ("out of date", "falls short")
    else:
        head = f"{count['built']} of {counted(len(results), 'job')} built"
        rest = ("up to date", "falls short", "not written")
    return ", ".join([head, *(f"{count[state]} {state}" for state in rest if count[state])])


def _data(result: Result) -> dict[str, object]:
    data: dict[str, object] = {
        "spec": result.target.path.as_posix(),
        "member": result.target.member,
        "state": result.state,
        "built": result.state == "built",
        "files": _paths(result) if result.good else list(result.files),
    }
    return data if result.time_s is None else {**data, "time_s": result.time_s}


def _paths(result: Result) -> list[str]:
    assert result.folder is not None
    return [(result.folder / name).as_posix() for name in result.files]


def _misused(message: str) -> Diagnostic:
    from compiler.diagnostics import Diagnostic

    return Diagnostic(code="E660", message=message, help="see standproud build --help")


def _no_cluster(message: str) -> Diagnostic:
    from compiler.diagnostics import Diagnostic

    return Diagnostic(
        code="E609",
        message=message,
        help="check the address and that the scheduler runs, or leave --cluster out",
    )


COMMAND = Command(
    name="build",
    about="Compile specs to program, setup sheet and evidence; write only what is proven.",
    arguments=_arguments,
    run=_run,
)
