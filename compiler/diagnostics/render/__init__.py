"""Printers of findings: for people, for programs, for code-hosting annotations."""

from collections.abc import Mapping
from typing import Protocol

from compiler.diagnostics.model import Diagnostic
from compiler.diagnostics.render import annotations, data, text


class Renderer(Protocol):
    """Findings to text. `sources` maps a span's file to its text; files may be missing from it."""

    def __call__(
        self,
        findings: tuple[Diagnostic, ...],
        sources: Mapping[str, str],
        *,
        colour: bool = False,
    ) -> str:
        """The findings in this form, ending in a newline unless empty."""
        ...


RENDERERS: Mapping[str, Renderer] = {
    "text": text.render,
    "json": data.render,
    "github": annotations.render,
}

__all__ = ["RENDERERS", "Renderer"]
