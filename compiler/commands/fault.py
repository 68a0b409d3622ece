"""What ended the work from outside or from within, told as a finding instead of a traceback."""

from __future__ import annotations

import traceback
from pathlib import Path

from compiler import __version__
from compiler.diagnostics import Diagnostic

WHOLE = "every output is whole, new or as it was"


def fault_finding(fault: BaseException) -> Diagnostic:
    """A fault as a finding: the system's refusal (E902), or a failure of the tool itself (E901)."""
    if isinstance(fault, MemoryError) or _is_starved(fault):
        return _refused(
            "there is not enough memory",
            "give the job more memory, build fewer at a time with --jobs 1, or split it",
        )
    if isinstance(fault, OSError) and fault.errno is not None:
        at = f" ({Path(fault.filename).as_posix()})" if isinstance(fault.filename, str) else ""
        return _refused(
            f"the system refused: {fault.strerror}{at}",
            "make room for it or lift the limit, then give the same command again",
        )
    frames = traceback.extract_tb(fault.__traceback__)
    place = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "unknown"
    return Diagnostic(
        code="E901",
        message=f"internal fault: {type(fault).__name__} in {place}: {fault}",
        help="nothing was written; please report it with the spec and the output of "
        "the same command with --debug",
        notes=(f"standproud {__version__}",),
    )


def lost_finding() -> Diagnostic:
    """A process that compiled a job was ended from outside: nothing of that job is known."""
    return _refused(
        "the process that compiled this job was ended by the system",
        "most often there was not enough memory: build it alone with --jobs 1, or split it",
    )


def _refused(message: str, help: str) -> Diagnostic:
    return Diagnostic(code="E902", message=message, help=help, notes=(WHOLE,))


def _is_starved(fault: BaseException) -> bool:
    """Whether a library could not be loaded for want of memory."""
    words = ("cannot allocate memory", "failed to map segment")
    return isinstance(fault, ImportError) and any(w in str(fault).lower() for w in words)
