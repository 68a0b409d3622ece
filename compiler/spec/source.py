"""Text to located tree: a small composer over the YAML event stream.

It works from events, not from a loader's nodes, so that depth, aliases, tags and double keys are
judged as they come and nothing in a file can make it slow. Refused: tags, `<<`, keys given twice,
more than one document, aliases of themselves, and aliases that expand beyond a bound.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from compiler.diagnostics import Diagnostic, Label, Outcome, Span
from compiler.spec.fault import fault
from compiler.spec.not_yaml import not_yaml
from compiler.spec.scalars import NoNumberError, resolve
from compiler.spec.text import UNWANTED, decode
from compiler.spec.tree import Entry, Items, Node, Scalar, Table

MAX_DEPTH = 40
MAX_NODES = 100_000  # after aliases are expanded

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _StopError(Exception):
    """Ends composing at the first fault that leaves nothing sensible to read on."""

    def __init__(self, found: Diagnostic) -> None:
        super().__init__(found.message)
        self.found = found


def read(data: bytes, file: str) -> Outcome[Table]:
    """The located tree of a file's bytes.

    Args:
        data: The file as it stands on the disk.
        file: Its name for messages, relative to the project's root.

    Any bytes at all give a tree or findings (E001 to E013 and E101), never an exception.
    """
    text = decode(data, file)
    if text.value is None:
        return Outcome(None, text.findings)
    composer = _Composer(file)
    try:
        root = composer.document(text.value)
    except _StopError as stop:
        return Outcome(None, (*composer.findings, stop.found))
    except yaml.YAMLError as error:
        return Outcome(None, (*composer.findings, not_yaml(error, text.value, file)))
    if not isinstance(root, Table):
        found = fault(
            "E101",
            root.span,
            f"the file holds {describe(root)}, not keys and values",
            "begin with `spec: job/1` and a name",
        )
        return Outcome(None, (*composer.findings, found))
    return Outcome(root, tuple(composer.findings))


def describe(node: Node) -> str:
    """What kind of thing a node is, in the author's words."""
    match node:
        case Table():
            return "a mapping"
        case Items():
            return "a list"
        case Scalar(value=None):
            return "nothing"
        case Scalar(value=bool()):
            return f"`{node.text}`"
        case Scalar(value=str()):
            return f"the text `{shorten(node.text)}`"
        case Scalar():
            return f"the number `{shorten(node.text)}`"


def shorten(text: str, width: int = 40) -> str:
    """Text for a message: on one line, cut where it is long."""
    line = " ".join(text.split())
    return line if len(line) <= width else f"{line[: width - 3]}..."


@dataclass(slots=True)
class _Composer:
    """Builds nodes from events; each comes with its size after aliases are expanded."""

    file: str
    findings: list[Diagnostic] = field(default_factory=list)
    anchors: dict[str, tuple[Node, int]] = field(default_factory=dict)
    unfinished: set[str] = field(default_factory=set)

    def document(self, text: str) -> Node:
        """The one document of a text."""
        events = iter(yaml.parse(text, Loader=_Loader))
        root: Node | None = None
        for event in events:
            if not isinstance(event, yaml.DocumentStartEvent):
                continue
            if root is not None:
                raise _StopError(
                    fault(
                        "E005",
                        self._span(event),
                        "a second document begins here",
                        "a spec is one document; put the rest in a file of its own",
                    )
                )
            root, _ = self._node(next(events), events, 1)
        if root is None or (isinstance(root, Scalar) and root.text == "" and root.plain):
            raise _StopError(
                fault(
                    "E001",
                    Span(self.file, 1, 1, 1, 2),
                    "the file says nothing",
                    "begin with `spec: job/1` and a name",
                )
            )
        return root

    def _node(self, event: Any, events: Iterator[Any], depth: int) -> tuple[Node, int]:
        span = self._span(event)
        if isinstance(event, yaml.AliasEvent):
            return self._alias(str(event.anchor), span)
        if depth > MAX_DEPTH:
            raise _StopError(
                fault("E011", span, f"more than {MAX_DEPTH} levels deep", "no key needs so many")
            )
        anchor: str | None = event.anchor
        if anchor is not None:
            self.unfinished.add(anchor)
        if event.tag is not None:
            self._refuse_tag(event.tag, span)
        node: Node
        if isinstance(event, yaml.ScalarEvent):
            node, size = self._scalar(event, span), 1
        elif isinstance(event, yaml.SequenceStartEvent):
            node, size = self._items(event, events, depth)
        else:
            node, size = self._table(event, events, depth)
        if size > MAX_NODES:
            raise _StopError(
                fault(
                    "E009",
                    span,
                    f"this grows to more than {MAX_NODES} values",
                    "write less by alias; for many like shapes there is `repeat`",
                )
            )
        if anchor is not None:
            self.unfinished.discard(anchor)
            self.anchors[anchor] = node, size
        return node, size

    def _alias(self, name: str, span: Span) -> tuple[Node, int]:
        if name in self.unfinished:
            raise _StopError(
                fault(
                    "E009",
                    span,
                    f"the alias `*{name}` stands inside what it names",
                    "write the value out",
                )
            )
        if name not in self.anchors:
            raise _StopError(
                fault(
                    "E009",
                    span,
                    f"the alias `*{shorten(name)}` names nothing above it",
                    f"mark the value meant with `&{shorten(name)}`, or write it out",
                )
            )
        return self.anchors[name]

    def _items(self, start: Any, events: Iterator[Any], depth: int) -> tuple[Items, int]:
        nodes: list[Node] = []
        total = 1
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            node, size = self._node(event, events, depth + 1)
            nodes.append(node)
            total += size
        return Items(tuple(nodes), self._span(start, event, nodes[-1] if nodes else None)), total

    def _table(self, start: Any, events: Iterator[Any], depth: int) -> tuple[Table, int]:
        entries: dict[str, Entry] = {}
        total, last = 1, None
        while not isinstance(event := next(events), yaml.MappingEndEvent):
            key = self._key(event, events, depth)
            last, size = self._node(next(events), events, depth + 1)
            total += size
            if key is None:
                continue
            first = entries.get(key.text)
            if first is not None:
                self.findings.append(_double(key, first))
            else:
                entries[key.text] = Entry(key.text, key.span, last)
        return Table(entries, self._span(start, event, last)), total

    def _key(self, event: Any, events: Iterator[Any], depth: int) -> Scalar | None:
        """The key that begins here; None where it can't serve as one (already reported)."""
        span = self._span(event)
        if not isinstance(event, yaml.ScalarEvent):
            self._node(event, events, depth + 1)
            self.findings.append(
                fault("E012", span, "a key that is not plain text", "write the key as one word")
            )
            return None
        if event.tag is not None:
            self._refuse_tag(event.tag, span)
        if event.anchor is not None:
            self.findings.append(
                fault("E012", span, "an anchor on a key", "anchors stand on values only")
            )
        self._control(event.value, span)
        if event.value == "<<" and event.implicit[0]:
            self.findings.append(
                fault(
                    "E008",
                    span,
                    "the merge key `<<` is not part of this language",
                    "for variants of a job use a family: `from`, `with` and `override`",
                )
            )
            return None
        return Scalar(event.value, event.value, event.implicit[0], span)

    def _scalar(self, event: yaml.ScalarEvent, span: Span) -> Scalar:
        text = event.value
        self._control(text, span)
        is_plain = event.style in (None, "") and event.tag is None
        if not is_plain:
            return Scalar(text, text, False, span)
        try:
            return Scalar(resolve(text), text, True, span)
        except NoNumberError as error:
            self.findings.append(
                fault(
                    "E013",
                    span,
                    f"`{shorten(text)}` is {error}",
                    "write a number below 1000000, as `12.7`",
                )
            )
            return Scalar(text, text, False, span)

    def _control(self, text: str, span: Span) -> None:
        """Refuse control characters that came in by an escape."""
        found = UNWANTED.search(text)
        if found:
            name = f"U+{ord(found.group()):04X}"
            self.findings.append(
                fault("E003", span, f"control character {name} in text", "take the escape out")
            )

    def _refuse_tag(self, tag: str, span: Span) -> None:
        self.findings.append(
            fault(
                "E007",
                span,
                f"the tag `{shorten(tag)}`",
                "take the tag out; the key alone says what a value is",
            )
        )

    def _span(self, start: Any, end: Any = None, last: Node | None = None) -> Span:
        """From the start of one event to the end of another; a block ends with its last value."""
        first = start.start_mark
        final = (end or start).end_mark
        line, column = final.line + 1, final.column + 1
        if end is not None and last is not None and end.start_mark.index == final.index:
            line, column = last.span.end_line, last.span.end_column
        if (line, column) <= (first.line + 1, first.column + 1):
            line, column = first.line + 1, first.column + 2
        return Span(self.file, first.line + 1, first.column + 1, line, column)


def _double(key: Scalar, first: Entry) -> Diagnostic:
    return fault(
        "E006",
        key.span,
        f"the key `{shorten(key.text)}` is given twice",
        "keep one of the two",
        also=(Label(first.key_span, "first defined here"),),
    )
