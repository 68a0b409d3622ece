"""A difference as text for a terminal: `-` gone, `+` new, `~` changed."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.compare.model import Difference, ItemChange
from compiler.compare.words import (
    counts,
    margin_words,
    reach,
    region_name,
    region_words,
    value_words,
)

_MARK = {"added": "+", "removed": "-"}


def as_text(difference: Difference) -> str:
    """The whole difference; one line says so where there is none."""
    before, after = difference.before, difference.after
    head = f"{before.said} → {after.said}"
    if difference.is_empty:
        return f"{head}: nothing changes\n{counts(difference)}\n"
    lines = [head]
    units = difference.units
    lines += _section("what the job says", (
        f"{_sign(change.before, change.after)} {change.key}: {value_words(change)}"
        f"{_place(change.set_by_after or change.set_by_before)}"
        for change in difference.values
    ))  # fmt: skip
    lines += _section("what stands", (
        f"{_MARK.get(change.what, '~')} {region_name(change)}: {region_words(change, units)}"
        for change in difference.regions
    ))  # fmt: skip
    lines += _section("tools", _items(difference.tools))
    operations = _items(difference.operations)
    if difference.order_changed:
        operations = [*operations, "~ operations come in another order"]
    lines += _section("operations", operations)
    lines += _section("totals", (
        f"~ {figure.name}: {figure.before} → {figure.after}" for figure in difference.totals
    ))  # fmt: skip
    lines += _section("worst margins", (
        f"~ {change.name}: {margin_words(change, units)}" for change in difference.margins
    ))  # fmt: skip
    tail = [counts(difference)]
    if difference.same_program is not None:
        same = "the same" if difference.same_program else "another"
        tail.insert(0, f"the program, comments aside: {same}")
    tail += [reach(difference)] if reach(difference) else []
    return "\n".join([*lines, "", *tail]) + "\n"


def _section(title: str, rows: Iterable[str]) -> list[str]:
    listed = [f"  {row}" for row in rows]
    return ["", title, *listed] if listed else []


def _items(changes: Iterable[ItemChange]) -> list[str]:
    rows: list[str] = []
    for change in changes:
        figures = change.figures
        if change.what == "added":
            shown = ", ".join(f"{figure.name} {figure.after}" for figure in figures[:4])
            rows.append(f"+ {change.name}: {shown}")
        elif change.what == "removed":
            rows.append(f"- {change.name}")
        else:
            listed = ", ".join(f"{f.name} {f.before or '-'} → {f.after or '-'}" for f in figures)
            rows.append(f"~ {change.name}: {listed}")
    return rows


def _sign(before: str | None, after: str | None) -> str:
    return "+" if before is None else "-" if after is None else "~"


def _place(set_by: str) -> str:
    return f"   ({set_by})" if set_by else ""
