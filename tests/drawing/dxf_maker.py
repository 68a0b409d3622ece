"""Small drawings for the tests, made by the library that reads them, and read by ours."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace

from compiler.diagnostics import Outcome, Severity
from compiler.drawing.model import Drawing
from compiler.drawing.read import read_drawing
from compiler.drawing.voice import Voice

DATA = Path(__file__).resolve().parents[2].parent / "shared" / "data" / "dxf"
VOICE = Voice("part.dxf")


def document(units: int = 4, version: str = "R2000") -> Document:
    """An empty document; units as in $INSUNITS."""
    made = ezdxf.new(version)
    made.header["$INSUNITS"] = units
    return made


def as_bytes(made: Document, *, binary: bool = False) -> bytes:
    if binary:
        stream = io.BytesIO()
        made.write(stream, fmt="bin")
        return stream.getvalue()
    text = io.StringIO()
    made.write(text)
    return text.getvalue().encode("utf-8")


def dxf(draw: Callable[[Modelspace], object], units: int = 4, version: str = "R2000") -> bytes:
    made = document(units, version)
    draw(made.modelspace())
    return as_bytes(made)


def drawn(draw: Callable[[Modelspace], object], units: int = 4, version: str = "R2000") -> Drawing:
    """What we read of it; fails the test where we refuse it."""
    outcome = read_drawing(dxf(draw, units, version), VOICE)
    assert outcome.value is not None, outcome.findings
    return outcome.value


def sample(name: str) -> bytes:
    """A public drawing from the data beside the project; skips the test where it is absent."""
    path = DATA / name
    if not path.exists():
        pytest.skip(f"the sample drawing {name} is not here")
    return path.read_bytes()


def codes(outcome: Outcome) -> list[str]:
    return [found.code for found in outcome.findings]


def errors(outcome: Outcome) -> list[str]:
    return [f.code for f in outcome.findings if f.severity is Severity.ERROR]
