"""Files that a spec names: found from the file that names them, never outside the root."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from compiler.diagnostics import Diagnostic, Outcome, Span
from compiler.spec.fault import fault
from compiler.spec.source import shorten
from compiler.spec.text import MAX_BYTES


@dataclass(frozen=True, slots=True)
class Found:
    """A file below the root: where it is, what it is called in messages, and its bytes."""

    path: Path
    name: str
    data: bytes

    @property
    def digest(self) -> str:
        """sha256 of the bytes, hex."""
        return hashlib.sha256(self.data).hexdigest()


def first_file(path: Path, root: Path, limit: int = MAX_BYTES) -> Outcome[Found]:
    """The file that the command line named (E601, E603); `limit` as for `named_file`."""
    try:
        real = path.resolve()
    except (OSError, RuntimeError, ValueError):
        real = path
    name = real.relative_to(root).as_posix() if real.is_relative_to(root) else path.name
    return _read(real, name, path.name, None, "", limit)


def named_file(
    text: str, by: Path, root: Path, span: Span, key: str, limit: int = MAX_BYTES
) -> Outcome[Found]:
    """A file that a spec names (E601, E603, E607).

    Args:
        text: The path as written.
        by: The file that names it.
        root: The project's root, resolved; symbolic links may not lead out of it either.
        span: Where it is named.
        key: The key's path.
        limit: Bytes that are read at most; one more is given where the file is longer.
    """
    outside = fault(
        "E607",
        span,
        f"`{shorten(text)}` leaves the project",
        "name a file below the project's root, by a path relative to this file",
        path=key,
    )
    parts = PurePosixPath(text.replace("\\", "/"))
    if parts.is_absolute() or ":" in text or text.startswith("~"):
        return Outcome(None, (outside,))
    try:
        real = (by.parent / parts).resolve()
    except (OSError, RuntimeError, ValueError):
        return Outcome(None, (_missing(text, span, key),))
    if not real.is_relative_to(root):
        return Outcome(None, (outside,))
    return _read(real, real.relative_to(root).as_posix(), text, span, key, limit)


def _read(
    path: Path, name: str, said: str, span: Span | None, key: str, limit: int = MAX_BYTES
) -> Outcome[Found]:
    try:
        if path.exists() and not path.is_file():
            raise IsADirectoryError
        with path.open("rb") as stream:
            data = stream.read(limit + 1)  # one more, so that too long a file is seen as such
    except FileNotFoundError:
        return Outcome(None, (_missing(said, span, key),))
    except OSError:
        found = fault(
            "E603",
            span,
            f"`{shorten(said)}` can't be read",
            "check that it is a file, and that you may read it",
            path=key,
        )
        return Outcome(None, (found,))
    return Outcome(Found(path, name, data))


def _missing(said: str, span: Span | None, key: str) -> Diagnostic:
    return fault(
        "E601",
        span,
        f"there is no file `{shorten(said)}`",
        "check the path; it is relative to the file that names it",
        path=key,
    )
