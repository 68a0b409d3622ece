"""Open chains: told where shapes leave them out, unless another shape of the job uses them.

lug on layers 0 and RAISED  ──►  its sides, on RAISED, are open for every shape on RAISED alone
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from compiler.diagnostics import Diagnostic, Severity
from compiler.drawing.model import JOIN_GAP, Joined, Loop, Run
from compiler.drawing.voice import Voice
from compiler.geometry import Point
from compiler.geometry.distance import point_distance
from compiler.geometry.near import Box
from compiler.geometry.segment import Segment

MOST_TOLD = 8  # findings of one kind that are told one by one


@dataclass(slots=True)
class Memo:
    """What was joined, used and told already, for the other shapes of one drawing.

    Open chains that shapes leave out are kept in `strays`: whether another shape uses them is known
    when the last has been picked.
    """

    joined: dict[tuple[tuple[str, ...], float, float | None], Joined] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)
    used: list[tuple[Segment, Box]] = field(default_factory=list)
    strays: list[tuple[tuple[Run, ...], Voice]] = field(default_factory=list)

    def use(self, pieces: Iterable[Loop | Run]) -> None:
        """Loops, or an open chain, that a shape is made of."""
        for piece in pieces:
            line = piece.outline if isinstance(piece, Loop) else piece.chain
            self.used.extend((segment, segment.bounds) for segment in line.segments)

    def untold(self, findings: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
        """The findings but warnings that an earlier shape has brought up; errors always."""
        new = []
        for found in findings:
            if found.severity is Severity.ERROR or found.message not in self.told:
                new.append(found)
            self.told.add(found.message)
        return tuple(new)

    def strays_left(self) -> tuple[Diagnostic, ...]:
        """W706 for open chains that were left out and that no shape uses."""
        findings: list[Diagnostic] = []
        seen: set[int] = set()
        for runs, voice in self.strays:
            left = [r for r in runs if id(r) not in seen and not self._uses(r)]
            seen.update(id(run) for run in runs)
            findings += open_runs(left, "ignore", voice)
        return self.untold(findings)

    def _uses(self, run: Run) -> bool:
        """Whether all of a chain lies along what shapes are made of: with the lines of another
        layer it closes to one."""
        return all(self._is_used(piece.at(0.5)) for piece in run.chain.segments)

    def _is_used(self, place: Point) -> bool:
        x, y, far = place.x, place.y, JOIN_GAP
        return any(
            x0 - far <= x <= x1 + far
            and y0 - far <= y <= y1 + far
            and point_distance(place, segment) <= far
            for segment, (x0, y0, x1, y1) in self.used
        )


def open_runs(
    runs: Sequence[Run],
    on_unclosed: Literal["error", "ignore"],
    voice: Voice,
    memo: Memo | None = None,
) -> list[Diagnostic]:
    """A finding for each open chain: errors, or warnings where they are to be ignored.

    With a `memo` the warnings wait in it until all shapes are picked.
    """
    ignore = on_unclosed == "ignore"
    if ignore and memo is not None:
        memo.strays.append((tuple(runs), voice))
        return []
    findings = []
    for run in runs[:MOST_TOLD]:
        gap = run.chain.start.distance(run.chain.end)
        closable = run.count > 1 and gap < 0.2 * run.chain.length
        remedy = (
            f"its ends are {voice.length(gap)} apart: close it in the drawing, or give "
            f"`join_gap: {voice.length(gap * 1.01 + 0.0001)}`"
            if closable
            else "close or delete it in the drawing, choose other layers, or leave such lines out "
            "with `on_unclosed: ignore`"
        )
        findings.append(
            voice.finding(
                "W706" if ignore else "E706",
                f"line work on {named(run.layers)} is open, {ends_of(run, voice)}",
                severity=Severity.WARNING if ignore else Severity.ERROR,
                help="it is left out; delete it in the drawing if it is meant so"
                if ignore
                else remedy,
            )
        )
    if len(runs) > MOST_TOLD:
        last = findings.pop()
        findings.append(
            voice.finding(
                last.code,
                last.message,
                severity=last.severity,
                help=last.help,
                notes=(f"and {len(runs) - MOST_TOLD} more open chains",),
            )
        )
    return findings


def named(layers: Sequence[str]) -> str:
    """Layers in a message."""
    return ("layer " if len(layers) == 1 else "layers ") + ", ".join(f"`{n}`" for n in layers)


def ends_of(run: Run, voice: Voice) -> str:
    """Where an open chain begins and ends."""
    return f"from {voice.place(run.chain.start)} to {voice.place(run.chain.end)}"
