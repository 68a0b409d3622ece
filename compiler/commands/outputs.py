"""Writing a job's outputs: all of them or none, and never over anything but its own.

`NAME.report.json` lists every file built with it and its digest. A file that is there already may
be replaced when it bears a digest from that list, or the very bytes that are to be written: then
it is an earlier output of this job. A write that was cut short is brought to its end first
(`cut_short`). Anything else is somebody's work, a program edited at the control perhaps, and stays.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from compiler.commands.cut_short import finish, listed
from compiler.commands.digests import digest, digest_of
from compiler.commands.whole import discard, partial_of, write_through
from compiler.diagnostics import Diagnostic


def write_outputs(
    folder: Path, files: Mapping[str, bytes], *, job: str, replace_edited: bool = False
) -> tuple[Diagnostic, ...]:
    """Replace a job's outputs in a folder by new ones, whole or not at all.

    Args:
        folder: Where to; made if it is not there.
        files: Name to content. The report comes last: it is the list of the others.
        job: The job's name, as the report of an earlier build of it carries.
        replace_edited: Also replace files that were changed since they were built.

    Returns:
        Findings: empty where all was written. With any error nothing was replaced.
    """
    report = f"{job}.report.json"
    try:
        finish(folder, report, job)
    except OSError as fault:
        return (_unwritable(folder, fault),)
    built = listed(folder / report, job)
    strangers = [
        name
        for name, content in files.items()
        if name != report and not _ours(folder / name, content, built)
    ]
    if (folder / report).exists() and built is None:
        strangers.append(report)
    if strangers and not replace_edited:
        return tuple(_stranger(folder / name, built is not None) for name in strangers)
    partials: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            partial = partial_of(folder / name)
            partials.append(partial)
            write_through(partial, content)
        # nothing has been replaced up to here; from here each step is one atomic rename
        for name in sorted(files, key=lambda name: name == report):
            partial_of(folder / name).replace(folder / name)
        for name, was in (built or {}).items():
            old = folder / name
            if name not in files and digest_of(old) == was:
                old.unlink()
    except OSError as fault:
        for partial in partials:
            discard(partial)
        return (_unwritable(folder, fault),)
    return ()


def _ours(path: Path, content: bytes, built: Mapping[str, str] | None) -> bool:
    if not path.exists():
        return True
    there = digest_of(path)
    return there is not None and there in (digest(content), (built or {}).get(path.name))


def _stranger(path: Path, known: bool) -> Diagnostic:
    return Diagnostic(
        code="E604",
        message=f"`{path.as_posix()}` was changed since it was built"
        if known
        else f"`{path.as_posix()}` is not an earlier output of this job",
        help="move it away or give another folder with --out; "
        "--replace-edited writes over it and its changes are lost",
    )


def _unwritable(folder: Path, fault: OSError) -> Diagnostic:
    return Diagnostic(
        code="E605",
        message=f"can't write to `{folder.as_posix()}`: {fault.strerror or fault}",
        help="make room or give a folder that can be written with --out; "
        "the last good output is as it was",
    )
