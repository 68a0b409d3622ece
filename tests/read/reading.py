"""Start of every reading test: G17 G21 G90 G94 at X0 Y0 Z0, F100, as the error table assumes."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.diagnostics import Outcome
from compiler.read import Motion, Place, Program, State, read

START = State(units="mm", feed=100.0, motion="G1")


def take(
    *lines: str,
    at: tuple[float, float, float] = (0.0, 0.0, 0.0),
    state: State = START,
    offsets: Mapping[int, float] | None = None,
) -> Outcome[Program]:
    text = "\n".join([*lines, "M2", ""])
    return read(text, state=state, place=Place(*at), offsets=offsets)


def moves(
    *lines: str,
    at: tuple[float, float, float] = (0.0, 0.0, 0.0),
    offsets: Mapping[int, float] | None = None,
) -> tuple[Motion, ...]:
    outcome = take(*lines, at=at, offsets=offsets)
    assert outcome.value is not None, outcome.findings[0].message
    return outcome.value.motions


def refusal(
    *lines: str,
    at: tuple[float, float, float] = (0.0, 0.0, 0.0),
    offsets: Mapping[int, float] | None = None,
) -> str:
    outcome = take(*lines, at=at, offsets=offsets)
    assert outcome.value is None, f"{lines} was taken"
    (found,) = outcome.findings
    assert found.code == "E501"
    assert found.help
    assert dict(found.data)["line"] >= 1
    return found.message
