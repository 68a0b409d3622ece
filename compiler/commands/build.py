"""`build`: the program, the setup sheet and the evidence, written only when all of it holds."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from compiler import __version__
from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import find_root, find_specs
from compiler.commands.shell import Shell
from compiler.diagnostics import Diagnostic

if TYPE_CHECKING:
    from compiler.road import Journey


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("specs", nargs="+", metavar="SPEC", help="job files, or folders of them")
    parser.add_argument("--out", metavar="DIR", help="where to (default: out/ beside each spec)")
    parser.add_argument(
        "--replace-edited",
        action="store_true",
        help="also replace outputs that were changed by hand since they were built",
    )


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    specs, missing = find_specs(asked.specs)
    shell.findings(missing, {}) if missing else None
    claimed: dict[tuple[Path, str], Path] = {}
    results = [_build(spec, asked, shell, claimed) for spec in specs]
    if shell.format == "json":
        shell.result_data({"version": "build/1", "jobs": [data for _, data in results]})
    elif len(results) > 1:
        good = sum(status == GOOD for status, _ in results)
        shell.result(f"{good} of {len(results)} jobs built")
    return max([status for status, _ in results] + [UNABLE if missing else GOOD])


def _build(
    spec: Path, asked: argparse.Namespace, shell: Shell, claimed: dict[tuple[Path, str], Path]
) -> tuple[int, dict[str, object]]:
    """Build one job. `claimed` says which job of this run writes a name into a folder."""
    from compiler.commands.outputs import write_outputs
    from compiler.commands.summary import summary
    from compiler.road import prove_job

    journey = prove_job(spec, find_root(spec))
    shell.findings(journey.findings, journey.sources)
    data: dict[str, object] = {"spec": spec.as_posix(), "built": False, "files": []}
    if journey.failed or journey.report is None:
        shell.say(f"{spec.as_posix()}: not built; nothing was written")
        return SHORT, data
    folder = Path(asked.out) if asked.out else spec.parent / "out"
    job = journey.report.job
    other = claimed.setdefault((folder.resolve(), job), spec)
    if other != spec:
        shell.findings((_same_name(spec, other, job),), {})
        return SHORT, data
    files = outputs_of(journey)
    faults = write_outputs(folder, files, job=job, replace_edited=asked.replace_edited)
    if faults:
        shell.findings(faults, {})
        return UNABLE, data
    written = [(folder / name).as_posix() for name in sorted(files)]
    if shell.format == "text":
        shell.result(summary(journey, written))
    return GOOD, {**data, "built": True, "files": written, "time_s": journey.report.time_s}


def _same_name(spec: Path, other: Path, job: str) -> Diagnostic:
    return Diagnostic(
        code="E608",
        message=f"`{spec.as_posix()}` would write the files of `{other.as_posix()}`: both are "
        f"named `{job}`",
        help="give one of them another `name`, or build them into folders of their own",
    )


def outputs_of(journey: Journey) -> dict[str, bytes]:
    """Every output of a proven job, by file name. A function of the journey alone."""
    from compiler.commands.outputs import digest
    from compiler.pictures import operation_view, plan_view
    from compiler.sheet import render

    loaded, part, plan = journey.loaded, journey.part, journey.plan
    motions, written, report = journey.motions, journey.written, journey.report
    assert loaded is not None and part is not None and plan is not None
    assert motions is not None and written is not None and report is not None
    name = loaded.job.title.name
    files = {
        f"{name}.nc": written.text.encode("ascii"),
        f"{name}.plan.json": _json(plan.model_dump_json(indent=2)),
        f"{name}.setup.pdf": render(
            loaded.job, part, plan, report, version=__version__, motions=motions
        ),
        f"{name}.plan.svg": plan_view(loaded.job, part).encode(),
    }
    for path in motions.paths:
        view = operation_view(loaded.job, part, path)
        files[f"{name}.{path.operation.replace(' ', '-')}.svg"] = view.encode()
    listed = {file: digest(content) for file, content in sorted(files.items())}
    report = report.model_copy(update={"outputs": listed})
    files[f"{name}.report.json"] = _json(report.model_dump_json(indent=2))
    return files


def _json(text: str) -> bytes:
    return (text + "\n").encode()


COMMAND = Command(
    name="build",
    about="Compile a spec to program, setup sheet and evidence; write only what is proven.",
    arguments=_arguments,
    run=_run,
)
