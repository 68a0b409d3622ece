"""Findings for people: what, where, the line itself with the value underlined, and what to do.

    error E203: there is no tool `T3`
      specs/bracket.yaml:31:19  passes[0].rough.tool
       |
    31 |   - rough: {tool: T3, to: -0.5}
       |                   ^^ not among the job's tools
       |
       help: did you mean `T2`?

Plain unless colour is asked for; a line says how much was found in all.
"""

from collections.abc import Callable, Mapping

from compiler.diagnostics.model import Diagnostic, Label, Severity
from compiler.diagnostics.render.bound import bounded, counts
from compiler.diagnostics.render.clean import one_line, safe
from compiler.diagnostics.render.snippet import Row, rows

WIDTH = 100  # columns of a printed row, but for labels
Paint = Callable[[str, str], str]  # text and the name of a colour to text

_RESET = "\x1b[0m"
_COLOURS = {
    "error": "\x1b[1;31m",
    "warning": "\x1b[1;33m",
    "note": "\x1b[1;36m",
    "strong": "\x1b[1m",
    "margin": "\x1b[2m",
    "secondary": "\x1b[36m",
}


def render(
    findings: tuple[Diagnostic, ...], sources: Mapping[str, str], *, colour: bool = False
) -> str:
    """All findings, each with its snippet where its file is in `sources`, and a summary line.

    Errors come first, then warnings, then notes, each in the order given. Of each code the first
    20 are shown. Empty for no findings.
    """
    if not findings:
        return ""
    weights = list(Severity)
    shown, more = bounded(sorted(findings, key=lambda found: weights.index(found.severity)))
    paint = _coloured if colour else _plain
    last = {found.code: place for place, found in enumerate(shown)}
    blocks = []
    for place, found in enumerate(shown):
        blocks.append(_finding(found, sources, paint))
        if found.code in more and last[found.code] == place:
            blocks.append(f"... and {more[found.code]} more of {found.code}\n")
    return "\n".join([*blocks, _summary(findings) + "\n"])


def _plain(text: str, colour: str) -> str:
    return text


def _coloured(text: str, colour: str) -> str:
    return f"{_COLOURS[colour]}{text}{_RESET}" if text else text


def _finding(found: Diagnostic, sources: Mapping[str, str], paint: Paint) -> str:
    head = paint(f"{found.severity.value} {found.code}", found.severity.value)
    printed = [f"{head}: {paint(one_line(found.message), 'strong')}"]
    margin = len(str(max((label.span.line for label in _labels(found)), default=1)))
    if found.primary is not None:
        path = f"  {one_line(found.path)}" if found.path else ""
        printed.append(f"{' ' * margin} {one_line(str(found.primary.span))}{path}")
        if found.primary.span.file not in sources and found.primary.text:
            printed.append(f"{' ' * margin} {one_line(found.primary.text)}")
    snippet = _snippets(found, sources, margin, paint)
    printed += snippet
    printed += [_remark("note", note, margin, paint) for note in found.notes]
    if found.help:
        printed.append(_remark("help", found.help, margin, paint))
    return "\n".join(printed) + "\n"


def _labels(found: Diagnostic) -> tuple[Label, ...]:
    return (found.primary, *found.secondary) if found.primary is not None else found.secondary


def _snippets(
    found: Diagnostic, sources: Mapping[str, str], margin: int, paint: Paint
) -> list[str]:
    """The snippet of the finding's own file, then of every other file that a label points into."""
    own = found.primary.span.file if found.primary is not None else ""
    printed: list[str] = []
    barred = False
    for file in dict.fromkeys(label.span.file for label in _labels(found)):
        others = tuple(label for label in found.secondary if label.span.file == file)
        if file not in sources:
            # the words must not be lost where the text is not at hand
            printed += [_elsewhere(label, margin, label.text) for label in others]
            barred = False
            continue
        if file != own:
            printed.append(_elsewhere(others[0], margin))
        primary = found.primary if file == own else None
        block = rows(sources[file], primary, others, WIDTH - margin - 3)
        barred = bool(block)
        printed += [_margin("", margin, paint)] if block else []
        printed += [_row(row, margin, found.severity.value, paint) for row in block]
    if barred and (found.notes or found.help):
        printed.append(_margin("", margin, paint))
    return printed


def _elsewhere(label: Label, margin: int, said: str = "") -> str:
    """A place in another file, and the words that belong to it where no snippet says them."""
    return f"{' ' * margin} {one_line(str(label.span))}  {one_line(said)}".rstrip()


def _row(row: Row, margin: int, severity: str, paint: Paint) -> str:
    if row.role == "gap":
        return f"{' ' * margin} {paint(row.text, 'margin')}"
    number = "" if row.number is None else str(row.number)
    colours = {"primary": severity, "secondary": "secondary"}
    bare = row.text.lstrip(" ")
    indent = row.text[: len(row.text) - len(bare)]
    text = indent + paint(bare, colours[row.role]) if row.role in colours else row.text
    return f"{_margin(number, margin, paint)} {text}".rstrip()


def _margin(number: str, margin: int, paint: Paint) -> str:
    return paint(f"{number:>{margin}} |", "margin")


def _remark(kind: str, text: str, margin: int, paint: Paint) -> str:
    """A note or the help; its further lines stand under its first."""
    indent = " " * (margin + 1)
    lines = [line.rstrip() for line in safe(text).expandtabs(4).split("\n")]
    return f"{indent}{paint(kind, 'strong')}: " + f"\n{indent}{' ' * (len(kind) + 2)}".join(lines)


def _summary(findings: tuple[Diagnostic, ...]) -> str:
    """As `2 errors, 1 warning`."""
    return ", ".join(
        f"{count} {severity.value}{'' if count == 1 else 's'}"
        for severity, count in counts(findings).items()
        if count
    )
