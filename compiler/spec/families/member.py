"""Which member is meant: a job file with `from`, or a row of a family's own table."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from compiler.diagnostics import Diagnostic, Label, Outcome, has_errors
from compiler.spec.document import as_family
from compiler.spec.errors import did_you_mean, listed
from compiler.spec.families.make import HEAD, Made, Member, member_job, word
from compiler.spec.families.origins import Origins
from compiler.spec.families.table import read_members
from compiler.spec.fault import fault
from compiler.spec.files import Found, first_file, named_file
from compiler.spec.source import read as read_source
from compiler.spec.tree import Entry, Scalar, Table, path_text

FROM_TABLE = ("title", "number", "revision")  # columns that are the member's head


@lru_cache(maxsize=32)
def parsed(data: bytes, file: str) -> Outcome[Table]:
    """The tree of a file's bytes; read once for all members that are made of it."""
    return read_source(data, file)


@lru_cache(maxsize=32)
def family_tree(data: bytes, file: str) -> Outcome[Table]:
    """The tree of a family file, found well formed (E0, E1)."""
    read = parsed(data, file)
    if read.value is None or has_errors(read.findings):
        return Outcome(None, read.findings)
    typed = as_family(read.value)
    found = (*read.findings, *typed.findings)
    return Outcome(None if typed.value is None or has_errors(found) else read.value, found)


def from_file(root_table: Table, file: Found, root: Path, opened: list[Found]) -> Made:
    """The job of a member's own file, `from` followed (E601, E607 where that leads nowhere)."""
    where = root_table.entries["from"]
    assert isinstance(where.node, Scalar)
    read = named_file(where.node.text, file.path, root, where.node.span, "from")
    if read.value is None:
        return Made(None, Origins(), read.findings)
    opened.append(read.value)
    family = family_tree(read.value.data, read.value.name)
    made_at = Label(where.node.span, "in the member made here")
    if family.value is None:
        origins = Origins({}, made_at, frozenset({read.value.name}))
        return Made(None, origins, origins.explain(family.findings))
    entries = root_table.entries
    given, override = root_table.get("with"), root_table.get("override")
    member = Member(
        head=[entry for key, entry in entries.items() if key in HEAD],
        given=given if isinstance(given, Table) else Table({}, where.node.span),
        override=override if isinstance(override, Table) else None,
        made_at=made_at,
        path="with",
    )
    return member_job(family.value, member)


def from_table(file: Found, name: str, root: Path, opened: list[Found]) -> Made:
    """The job of a member that stands in a family's table (E815 where it does not)."""
    family = family_tree(file.data, file.name)
    if family.value is None:
        return Made(None, Origins(), family.findings)
    rows = members_of(family.value, file, root, opened)
    if rows.value is None:
        return Made(None, Origins(), rows.findings)
    entry = rows.value.get(name)
    if entry is None:
        return Made(None, Origins(), (_no_member(family.value, name, rows.value),))
    assert isinstance(entry.node, Table)
    spec = family.value.entries["spec"]
    head = [
        Entry("spec", spec.key_span, word("job/1", spec)),
        Entry("name", entry.key_span, word(name, entry)),
    ]
    declared = family.value.get("parameters")
    own = set(declared.entries) if isinstance(declared, Table) else set()
    cells = entry.node.entries
    head += [_as_text(cells[key]) for key in FROM_TABLE if key in cells and key not in own]
    given = {key: cell for key, cell in cells.items() if key in own or key not in FROM_TABLE}
    member = Member(
        head=head,
        given=Table(given, entry.key_span),
        override=None,
        made_at=Label(entry.key_span, f"member `{name}`"),
        path=path_text(("members", name)),
    )
    return member_job(family.value, member)


def member_names(path: Path, root: Path) -> tuple[str, ...] | None:
    """The names in a family file's table; None where it can't be read, which loading tells."""
    found = first_file(path, root)
    if found.value is None:
        return None
    family = family_tree(found.value.data, found.value.name)
    rows = None if family.value is None else members_of(family.value, found.value, root, [])
    return None if rows is None or rows.value is None else tuple(rows.value)


def members_of(
    family: Table, file: Found, root: Path, opened: list[Found]
) -> Outcome[Mapping[str, Entry]]:
    """The members in a family's table, in its order; none where it has no table.

    `opened` gains the CSV file, where that is where they stand.
    """
    node = family.get("members")
    if node is None:
        return Outcome({})
    if isinstance(node, Table):
        return Outcome(node.entries)
    assert isinstance(node, Scalar)  # the model has seen it
    read = named_file(node.text, file.path, root, node.span, "members")
    if read.value is None:
        return Outcome(None, read.findings)
    opened.append(read.value)
    table = _csv(read.value.data, read.value.name)
    return Outcome(None if table.value is None else table.value.entries, table.findings)


@lru_cache(maxsize=32)
def _csv(data: bytes, file: str) -> Outcome[Table]:
    return read_members(data, file)


def _as_text(entry: Entry) -> Entry:
    """A cell as text: revision 2 and number 0117 are words, not numbers."""
    node = entry.node
    if not isinstance(node, Scalar):
        return entry
    return Entry(entry.key, entry.key_span, Scalar(node.text, node.text, False, node.span))


def _no_member(family: Table, name: str, rows: Mapping[str, Entry]) -> Diagnostic:
    where = family.entries.get("members") or family.entries["spec"]
    if not rows:
        return fault(
            "E815",
            where.key_span,
            "a family is built through its members, and none is named",
            "give it `members`, or write a job with `from` that names this file",
            path="members",
        )
    if not name:
        first = next(iter(rows))
        return fault(
            "E815",
            where.key_span,
            f"this family has {len(rows)} members, and one must be named",
            f"add `#` and its name to the file, as `{family.span.file}#{first}`",
            path="members",
        )
    return fault(
        "E815",
        where.key_span,
        f"there is no member `{name}`",
        f"{did_you_mean(name, rows)}members are {listed(rows)}",
        path="members",
    )
