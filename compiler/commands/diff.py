"""`diff`: what changes between two specs, in what they say and in what is cut."""

from __future__ import annotations

import argparse
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.shell import Shell
from compiler.commands.whole import write_whole
from compiler.diagnostics import Diagnostic

if TYPE_CHECKING:
    from compiler.commands.revision import NoRevisionError
    from compiler.commands.sides import Side
    from compiler.compare.compare import Compiled
    from compiler.compare.model import Difference, FamilyDifference


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "before",
        metavar="A",
        help="a job, a member as FILE#NAME, a whole family, or any of them in a revision of the "
        "git work tree as REVISION:PATH",
    )
    parser.add_argument(
        "after",
        metavar="B",
        nargs="?",
        help="the same (default: a file is compared with its last commit, a revision with the "
        "work tree)",
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


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.commands.revision import NoRevisionError
    from compiler.commands.sides import MissingFileError, both_named, find_side

    with ExitStack() as stack:
        try:
            said = both_named(asked.before, asked.after)
            before, after = (find_side(name, stack) for name in said)
        except NoRevisionError as fault:
            shell.findings((_no_revision(fault),), {})
            return UNABLE
        except MissingFileError as fault:
            shell.findings(fault.findings, {})
            return UNABLE
        if before.members() and after.members():
            return _family(before, after, asked, shell)
        return _one(before, after, asked, shell)


def _one(before: Side, after: Side, asked: argparse.Namespace, shell: Shell) -> int:
    """Two jobs."""
    from compiler.commands.sides import compile_sides, read_sides
    from compiler.compare.compare import compare

    loaded = read_sides((before, after), shell)
    if loaded is None:
        return SHORT
    pairs = compile_sides((before, after), loaded, shell, quick=asked.quick)
    found = [compare(*pair) for pair in pairs]
    if shell.format == "json":
        shell.result(_as_one(before.said, after.said, found).model_dump_json(indent=2))
    else:
        shell.result("\n".join(_words(difference, asked.markdown) for difference in found))
    for pair, difference in zip(pairs, found, strict=True):
        if asked.svg:
            path = Path(asked.svg)
            own = path.with_stem(f"{path.stem}-{pair[1].setup}") if len(pairs) > 1 else path
            _draw(difference, pair, own, shell)
    if any(_falls_short(each, pair[1]) for each, pair in zip(found, pairs, strict=True)):
        return SHORT
    return SHORT if asked.exit_code and any(not each.is_empty for each in found) else GOOD


def _as_one(before: str, after: str, found: list[Difference]) -> Difference | FamilyDifference:
    """What changes in a job; of several setups all of them, as a family's members are told."""
    from compiler.compare.model import FamilyDifference

    if len(found) == 1:
        return found[0]
    return FamilyDifference(
        before=before, after=after, changed=tuple(found), added=(), removed=(), unchanged=0
    )


def _family(before: Side, after: Side, asked: argparse.Namespace, shell: Shell) -> int:
    """Two tables of members: those that both have, one by one; those that came and went."""
    from compiler.commands.sides import compile_sides, read_sides
    from compiler.compare.compare import compare
    from compiler.compare.model import FamilyDifference

    old, new = before.members(), after.members()
    changed, unchanged, short = [], 0, False
    for name in (name for name in new if name in old):
        pair = (before.member(name), after.member(name))
        loaded = read_sides(pair, shell)
        if loaded is None:
            short = True
        elif loaded[0].job.digest == loaded[1].job.digest:
            unchanged += 1
        else:
            for compiled in compile_sides(pair, loaded, shell, quick=asked.quick):
                difference = compare(*compiled)
                changed.append(difference)
                short = short or _falls_short(difference, compiled[1])
                if asked.svg:
                    path = Path(asked.svg)
                    setup = f"-{compiled[1].setup}" if compiled[1].setup else ""
                    own = path.with_stem(f"{path.stem}-{name}{setup}")
                    _draw(difference, compiled, own, shell)
    found = FamilyDifference(
        before=before.said,
        after=after.said,
        changed=tuple(changed),
        added=tuple(name for name in new if name not in old),
        removed=tuple(name for name in old if name not in new),
        unchanged=unchanged,
    )
    if shell.format == "json":
        shell.result(found.model_dump_json(indent=2))
    else:
        shell.result(_family_words(found, asked.markdown))
    return SHORT if short or (asked.exit_code and not found.is_empty) else GOOD


def _falls_short(difference: Difference, after: Compiled) -> bool:
    return after.plan is None or any(not margin.held_after for margin in difference.margins)


def _words(difference: Difference, is_markdown: bool) -> str:
    from compiler.compare.markdown import as_markdown
    from compiler.compare.text import as_text

    return as_markdown(difference) if is_markdown else as_text(difference)


def _family_words(found: FamilyDifference, is_markdown: bool) -> str:
    from compiler.compare.words import family_words

    parts = [_words(difference, is_markdown) for difference in found.changed]
    return "\n".join([*parts, family_words(found, is_markdown)])


def _draw(
    difference: Difference, compiled: tuple[Compiled, Compiled], path: Path, shell: Shell
) -> None:
    before, after = compiled[0].part, compiled[1].part
    if before is None or after is None:
        shell.say(f"{path}: not written; one of the jobs has no sound outlines")
        return
    from compiler.compare.picture import as_svg

    write_whole(path, as_svg(difference, before, after).encode())
    shell.say(f"wrote {path}")


def _no_revision(fault: NoRevisionError) -> Diagnostic:
    return Diagnostic(code="E610", message=str(fault), help=fault.help)


COMMAND = Command(
    name="diff",
    about="Say what changes between two specs: values, outlines, tools, speeds, time, margins.",
    arguments=_arguments,
    run=_run,
)
