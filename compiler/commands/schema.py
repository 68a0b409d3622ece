"""`schema`: the published JSON Schemas and the reference that is made from them."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path

from compiler.commands.command import GOOD, SHORT, Command
from compiler.commands.shell import Shell
from compiler.commands.whole import write_whole


def published() -> Mapping[str, Callable[[], str]]:
    """File name in `schemas/` to the function that makes its text. The one list of schemas."""
    from compiler.compare.schema import schema as diff_schema
    from compiler.diagnostics.render.data import schema as diagnostics_schema
    from compiler.judge.schema import schema as report_schema
    from compiler.judge.schema import setups_schema
    from compiler.plan.schema import schema as plan_schema
    from compiler.spec.reference import reference
    from compiler.spec.schema import family_schema, job_schema, shop_schema

    return {
        "job.schema.json": job_schema,
        "shop.schema.json": shop_schema,
        "family.schema.json": family_schema,
        "plan.schema.json": plan_schema,
        "report.schema.json": report_schema,
        "setups-report.schema.json": setups_schema,
        "diff.schema.json": diff_schema,
        "diagnostics.schema.json": diagnostics_schema,
        "language.md": reference,
    }


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "name",
        nargs="?",
        default="job",
        choices=(
            "job",
            "shop",
            "family",
            "plan",
            "report",
            "setups-report",
            "diff",
            "diagnostics",
            "language",
        ),
        help="which schema to print, or the reference of the language (default: %(default)s)",
    )
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--write", metavar="DIR", help="write all of them into a folder")
    where.add_argument("--check", metavar="DIR", help="say which files of a folder are out of date")


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    schemas = published()
    if asked.write:
        Path(asked.write).mkdir(parents=True, exist_ok=True)
        for name, make in schemas.items():
            write_whole(Path(asked.write) / name, make().encode())
        shell.result(f"wrote {len(schemas)} schemas to {asked.write}")
        return GOOD
    if asked.check:
        stale = [name for name, make in schemas.items() if not _is_current(asked.check, name, make)]
        for name in stale:
            shell.result(f"out of date: {name}")
        return SHORT if stale else GOOD
    name = "language.md" if asked.name == "language" else f"{asked.name}.schema.json"
    shell.result(schemas[name]())
    return GOOD


def _is_current(folder: str, name: str, make: Callable[[], str]) -> bool:
    path = Path(folder) / name
    return path.is_file() and path.read_text(encoding="utf-8") == make()


COMMAND = Command(
    name="schema",
    about="Print the JSON Schema of job, shop, family, plan, report, diff or diagnostics files.",
    arguments=_arguments,
    run=_run,
)
