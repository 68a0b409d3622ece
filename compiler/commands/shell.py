"""The terminal as commands see it: results to standard output, findings to standard error."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal, TextIO

from compiler.diagnostics import Diagnostic

Format = Literal["text", "json", "github"]


@dataclass(frozen=True, slots=True)
class Shell:
    """Where a command's words go, and in which form."""

    out: TextIO
    err: TextIO
    format: Format
    colour: bool

    def result(self, text: str) -> None:
        """Print a result, ending in one newline."""
        self.out.write(text if text.endswith("\n") else text + "\n")

    def result_data(self, data: Any) -> None:
        """Print a result as JSON, keys in the order given."""
        self.result(json.dumps(data, ensure_ascii=False, indent=2))

    def findings(self, findings: Iterable[Diagnostic], sources: Mapping[str, str]) -> None:
        """Print what was found, in the form asked for. Nothing where nothing was found (text)."""
        from compiler.diagnostics.render import RENDERERS

        found = tuple(findings)
        if not found and self.format != "json":
            return
        text = RENDERERS[self.format](found, sources, colour=self.colour)
        self.err.write(text if text.endswith("\n") else text + "\n")

    def say(self, text: str) -> None:
        """A word about the work itself, to standard error; kept out of machine-read forms."""
        if self.format == "text":
            self.err.write(text + "\n")


def make_shell(format: Format) -> Shell:
    """The process's own streams; colour only on a terminal that wants it."""
    out, err = _stream(sys.stdout), _stream(sys.stderr)
    wanted = err.isatty() and os.environ.get("TERM") != "dumb"
    if os.environ.get("NO_COLOR"):
        wanted = False
    return Shell(out, err, format, wanted)


def _stream(given: TextIO | None) -> TextIO:
    """A stream that takes every letter; nowhere, where the process was started with it closed."""
    if given is None:
        return Path(os.devnull).open("w", encoding="utf-8")
    # a title in Greek must not end a build on a terminal without a locale
    reconfigure = getattr(given, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="backslashreplace")
    return given
