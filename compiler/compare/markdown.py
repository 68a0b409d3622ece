"""A difference as Markdown, fit for the comment of a review."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from compiler.compare.model import Difference, ItemChange
from compiler.compare.words import counts, margin_words, reach, region_name, region_words

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~])")


def as_markdown(difference: Difference) -> str:
    """Tables with a title each; nothing but a line where nothing changes."""
    before, after = difference.before, difference.after
    head = f"**{_clean(after.job)}**: {_code(before.said)} → {_code(after.said)}"
    if difference.is_empty:
        return f"{head}\n\nNothing changes. {_clean(counts(difference).capitalize())}.\n"
    units = difference.units
    parts = [head]
    if difference.margins and any(not margin.held_after for margin in difference.margins):
        parts.append("**An obligation is broken after the change: nothing would be built.**")
    parts += _table(
        ("Value", "Before", "After", "Set by"),
        (
            (
                _code(change.key),
                _cell(change.before),
                _cell(change.after),
                _clean(change.set_by_after or change.set_by_before),
            )
            for change in difference.values
        ),
    )
    parts += _table(
        ("What stands", "Change"),
        ((_clean(region_name(r)), _clean(region_words(r, units))) for r in difference.regions),
    )
    parts += _table(("Tool", "", "Before", "After"), _rows(difference.tools))
    parts += _table(("Operation", "", "Before", "After"), _rows(difference.operations))
    if difference.order_changed:
        parts.append("Operations come in another order.")
    parts += _table(
        ("Total", "Before", "After"),
        ((_clean(f.name), _cell(f.before), _cell(f.after)) for f in difference.totals),
    )
    parts += _table(
        ("Worst margin", "Before", "After"),
        ((_code(m.name), *map(_clean, margin_words(m, units).split(" → ")))
         for m in difference.margins),
    )  # fmt: skip
    tail = [f"{counts(difference).capitalize()}."]
    if difference.same_program is not None:
        same = "the same" if difference.same_program else "another"
        tail.insert(0, f"The program, comments aside, is {same}.")
    tail += [f"{reach(difference).capitalize()}."] if reach(difference) else []
    return "\n\n".join([*parts, " ".join(tail)]) + "\n"


def _rows(changes: Iterable[ItemChange]) -> Iterable[tuple[str, ...]]:
    for change in changes:
        if change.what != "changed":
            shown = "; ".join(f"{figure.name} {figure.after}" for figure in change.figures[:4])
            after = _cell(shown or None) if change.what == "added" else ""
            yield _clean(change.name), change.what, "", after
            continue
        for i, figure in enumerate(change.figures):
            name = _clean(change.name) if i == 0 else ""
            yield name, _clean(figure.name), _cell(figure.before), _cell(figure.after)


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    listed = [f"| {' | '.join(row)} |" for row in rows]
    if not listed:
        return []
    rule = "|" + "|".join(" --- " for _ in head) + "|"
    return ["\n".join([f"| {' | '.join(head)} |", rule, *listed])]


def _cell(text: str | None) -> str:
    return "–" if not text else _clean(text)


def _code(text: str) -> str:
    return "`" + _line(text).replace("`", "'").replace("|", "\\|") + "`"


def _clean(text: str) -> str:
    """Author's text as it reads: no markup, links or mentions come out of a spec."""
    return _SPECIAL.sub(r"\\\1", _line(text)).replace("@", "@\u200b")


def _line(text: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
