"""Replacing one file whole or not at all: written beside it, then moved over it."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

PARTIAL = ".partial"  # ending of a file being written; never an output


def partial_of(path: Path) -> Path:
    """Where the new content of a file is written before it takes its place."""
    return path.with_name(f".{path.name}{PARTIAL}")


def write_through(path: Path, content: bytes) -> None:
    """Write a file down to the disk. Raises OSError."""
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def write_whole(path: Path, content: bytes) -> None:
    """Replace a file, or make it. Raises OSError, and what was there is then as it was."""
    partial = partial_of(path)
    try:
        write_through(partial, content)
        partial.replace(path)
    except OSError:
        discard(partial)
        raise


def discard(partial: Path) -> None:
    """Take away what was not finished, as far as the system lets us."""
    with contextlib.suppress(OSError):
        partial.unlink(missing_ok=True)
