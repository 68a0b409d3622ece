"""What one unit of a drawing is: as its header says, or the spec.

Header codes of $INSUNITS: DXF Reference, "HEADER section" [from memory].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from compiler.diagnostics import Outcome, Severity
from compiler.drawing.voice import Voice
from compiler.units.number import short

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

CODES: dict[int, tuple[str, float]] = {
    1: ("inch", 25.4),
    2: ("foot", 304.8),
    4: ("mm", 1.0),
    5: ("cm", 10.0),
    6: ("m", 1000.0),
    8: ("microinch", 25.4e-6),
    9: ("thou", 0.0254),
    13: ("micrometre", 1e-3),
    14: ("dm", 100.0),
}
"""$INSUNITS to a name and mm. Miles, parsecs and the like are none for a mill."""

SPEC_UNITS: dict[Literal["inch", "mm"], float] = {"inch": 25.4, "mm": 1.0}


@dataclass(frozen=True, slots=True)
class Said:
    """A drawing unit: its name, mm, and who said so."""

    name: str
    factor: float
    said_by: Literal["drawing", "spec"]


def settle_units(
    document: Document,
    in_header: bool,
    extent: tuple[float, float],
    given: Literal["inch", "mm"] | None,
    voice: Voice,
) -> Outcome[Said]:
    """The drawing's unit. The spec's word goes before the header's, with a warning (W702).

    `in_header`: whether the file itself has $INSUNITS. Errors: E703 where neither says.
    """
    # the library fills a header that is missing with its own defaults: ask the file
    code = document.header.get("$INSUNITS", 0) if in_header else 0
    header = CODES.get(code) if isinstance(code, int) else None
    if given is not None:
        said = Said(given, SPEC_UNITS[given], "spec")
        if header is None or header[0] == given:
            return Outcome(said)
        warning = voice.finding(
            "W702",
            f"the drawing says `{header[0]}`, the spec says `{given}`; the spec counts",
            severity=Severity.WARNING,
            help=f"so the drawing is {_size(extent, 1.0)} {given} over all; "
            "drop `units` if the drawing is right",
        )
        return Outcome(said, (warning,))
    if header is not None:
        return Outcome(Said(header[0], header[1], "drawing"))
    return Outcome(
        None,
        (
            voice.finding(
                "E703",
                f"the drawing `{voice.name}` does not say its units",
                help=f"add `units: mm` if it is {_size(extent, 1.0)} mm "
                f"({_size(extent, 1 / 25.4)} inch) over all, `units: inch` if it is "
                f"{_size(extent, 1.0)} inch ({_size(extent, 25.4)} mm)",
                data=(("width", extent[0]), ("height", extent[1])),
            ),
        ),
    )


def _size(extent: tuple[float, float], factor: float) -> str:
    return f"{short(extent[0] * factor, 3)} x {short(extent[1] * factor, 3)}"
