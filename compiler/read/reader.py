"""From text to blocks: lines, percent signs, the end; refusals become diagnostics.

Strict as NISTIR 6556 has it: what the report does not allow is refused, with the line and the
reason, and so is what would take the program's meaning out of the text (parameters, probing,
shifted origins, compensation by an offset that the caller does not give). Nothing after a refusal
is read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from compiler.diagnostics import Diagnostic, Label, Outcome, Span
from compiler.job.model import ProgramStyle
from compiler.read.control import Control, Dwell
from compiler.read.model import Block, Place, Program, State
from compiler.read.refusal import RefusalError
from compiler.read.words import scan


@dataclass(frozen=True, slots=True)
class Dialect:
    """What a control takes beyond NISTIR 6556, and what it reads otherwise."""

    semicolons: bool = False  # comments from `;` to the end of the line
    program_numbers: bool = False  # a line with an O word alone
    chip_breaking: bool = False  # G73: pecks with short ways back (common practice, no source)
    dwell: Dwell = "p_seconds"  # what G4 says; P of a cycle is in the same unit

    @classmethod
    def of(cls, style: ProgramStyle) -> Dialect:
        """What the control of a machine takes, as the shop describes it."""
        is_iso = style.standard == "iso6983"
        return cls(
            semicolons=style.comments == "semicolon",
            program_numbers=is_iso and style.program_number is not None,
            chip_breaking=is_iso and style.cycles == "canned",
            dwell=style.dwell,
        )


STRICT = Dialect()


def read(
    text: str,
    *,
    dialect: Dialect = STRICT,
    file: str = "program",
    state: State | None = None,
    place: Place | None = None,
    offsets: Mapping[int, float] | None = None,
) -> Outcome[Program]:
    """The program that the text stands for, or the reason why it is none (E501).

    `file` names the text in diagnostics. `state` and `place` are where the control starts: by
    default units not stated, feed zero, position unknown. `offsets` gives the radius, mm, that the
    control's table holds under a D number, by which G41 and G42 shift the path; where a control's
    table holds diameters that is half the entry. G41 and G42 with any other number are refused.
    """
    control = Control(
        state or State(),
        place or Place(),
        offsets=offsets,
        chip_breaking=dialect.chip_breaking,
        dwell=dialect.dwell,
    )
    lines = text.split("\n")
    blocks: list[Block] = []
    first_percent = 0
    closed = False
    for number, raw in enumerate(lines, start=1):
        line = raw.rstrip("\r")
        if line.strip() == "%":
            if not first_percent and not blocks:
                first_percent = number
                continue
            closed = True
            break
        try:
            block = control.take_plain(number, line)
            if block is not None:
                blocks.append(block)
                continue
            scanned = scan(
                line, semicolons=dialect.semicolons, program_numbers=dialect.program_numbers
            )
            if not scanned.words and not scanned.comment:
                continue
            blocks.append(control.take(number, scanned))
        except RefusalError as refusal:
            return _refused(file, number, line, refusal.message, refusal.remedy)
        if control.ended:
            closed = closed or any(rest.strip() == "%" for rest in lines[number:])
            break
    last = len(lines)
    if first_percent and not closed:
        remedy = "end the program with a line that holds `%` alone, or leave the first one out"
        return _refused(file, last, lines[-1], "a first `%` has no second one", remedy)
    if not control.ended and not first_percent:
        return _refused(file, last, lines[-1], "the program does not end", "write M30 last")
    return Outcome(Program(blocks=tuple(blocks), ended=control.ended, lines=len(lines)))


def _refused(file: str, number: int, line: str, message: str, remedy: str) -> Outcome[Program]:
    """The outcome for a text that is no program."""
    span = Span(file, number, 1, number, max(2, len(line) + 1))
    shown = line if len(line) <= 100 else line[:97] + "..."
    return Outcome(
        None,
        (
            Diagnostic(
                code="E501",
                message=message,
                primary=Label(span, "refused here"),
                help=remedy,
                notes=(f"line {number}: `{shown}`",),
                data=(("line", float(number)),),
            ),
        ),
    )
