"""How findings about a drawing speak: where the job names it, and in the job's units."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.geometry import Point
from compiler.units.number import Units, in_units, length, short


@dataclass(frozen=True, slots=True)
class Voice:
    """Where findings point, which drawing they are about, and the units they speak in.

    Attributes:
        name: The drawing's file, as the author wrote it.
        units: Units of lengths and places in messages, those of the job.
        span: The place in the spec that names the drawing; None for the bare file.
        path: That place's key path.
    """

    name: str
    units: Units = "mm"
    span: Span | None = None
    path: str = ""

    def finding(
        self,
        code: str,
        message: str,
        *,
        help: str = "",
        severity: Severity = Severity.ERROR,
        notes: tuple[str, ...] = (),
        data: tuple[tuple[str, str | float], ...] = (),
    ) -> Diagnostic:
        """A Diagnostic that points at where the drawing is named."""
        return Diagnostic(
            code=code,
            message=message,
            primary=Label(self.span) if self.span is not None else None,
            severity=severity,
            path=self.path,
            help=help,
            notes=notes,
            data=(("file", self.name), *data),
        )

    def length(self, mm: float) -> str:
        """A length for a message, as `0.25 in`."""
        return length(mm, self.units)

    def place(self, point: Point) -> str:
        """A place that can be typed back into the spec, as `[1.5, 0.25]`."""
        return f"[{self.number(point.x)}, {self.number(point.y)}]"

    def number(self, mm: float) -> str:
        """A bare number of the job's units."""
        return short(in_units(mm, self.units), 4)
