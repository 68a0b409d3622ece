"""A fault of our own, told as a finding instead of a traceback."""

from __future__ import annotations

import traceback
from pathlib import Path

from compiler import __version__
from compiler.diagnostics import Diagnostic


def fault_finding(fault: BaseException) -> Diagnostic:
    """What to show when the tool itself failed: where in the package, and how to report it."""
    frames = traceback.extract_tb(fault.__traceback__)
    place = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "unknown"
    return Diagnostic(
        code="E901",
        message=f"internal fault: {type(fault).__name__} in {place}: {fault}",
        help="nothing was written; please report it with the spec and the output of "
        "the same command with --debug",
        notes=(f"standproud {__version__}",),
    )
