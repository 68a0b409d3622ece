"""What a setup sheet says, before it has a shape: sections of facts, tables, lists, boxes to tick.

PDF and Markdown are two printers of the same `Content`; neither says anything of its own.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and values, one below the other. Strong values are printed large."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a head. `widths` are relative; columns named in `right` are set to the right."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    right: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Checks:
    """Things to do or to see, each with a box to tick."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """Plain sentences, one bullet each."""

    items: tuple[str, ...]


Part = Facts | Table | Checks | Lines


@dataclass(frozen=True, slots=True)
class Section:
    """A titled stretch of the sheet. `key` is where a printer may add pictures."""

    key: str
    title: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """The whole sheet.

    `title_block` holds the fields of ISO 7200:2004 that apply, as label and value; an empty value
    is a line to be filled in by hand. `banner` is what must be seen from a step away. `running` is
    printed on every page.
    """

    title_block: tuple[tuple[str, str], ...]
    banner: tuple[str, ...]
    running: str
    sections: tuple[Section, ...]
