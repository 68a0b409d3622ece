"""The sheet as Markdown: the same content, for a review or a screen."""

import re

from compiler.sheet.content import Checks, Content, Facts, Lines, Part, Table


def markdown(content: Content) -> str:
    """The whole sheet as one Markdown text."""
    title = dict(content.title_block).get("Title", "")
    parts = [f"# {_cell(title)}", " · ".join(f"**{_cell(said)}**" for said in content.banner)]
    parts.append(_part(Facts(content.title_block)))
    for section in content.sections:
        parts.append(f"## {_cell(section.title)}")
        parts += [_part(part) for part in section.parts]
    return "\n\n".join(parts) + "\n"


def _part(part: Part) -> str:
    match part:
        case Facts(rows):
            return _table(("", ""), rows, frozenset())
        case Table(head, rows, _, right):
            return _table(head, rows, right)
        case Checks(items):
            return "\n".join(f"- [ ] {_cell(item)}" for item in items)
        case Lines(items):
            return "\n".join(f"- {_cell(item)}" for item in items)


def _table(head: tuple[str, ...], rows: tuple[tuple[str, ...], ...], right: frozenset[int]) -> str:
    rule = ["--:" if column in right else "---" for column in range(len(head))]
    table = [head, tuple(rule), *rows]
    return "\n".join(
        "| " + " | ".join(cell if row is table[1] else _cell(cell) for cell in row) + " |"
        for row in table
    )


def _cell(text: str) -> str:
    """Author's text as text: one line, nothing that Markdown or HTML would act on."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return re.sub(r"([\\`*_{}\[\]<>#|~&])", r"\\\1", flat)
