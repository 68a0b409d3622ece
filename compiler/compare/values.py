"""What two jobs say, value by value: compared as quantities, shown as their authors wrote them.

`0.5`, `1/2` and `12.7 mm` are the same length; the order of keys says nothing; passes are known by
their names, so that one more in front does not make all others look changed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from compiler.compare.model import ValueChange
from compiler.spec.load import Loaded
from compiler.spec.models.amounts import Amount
from compiler.spec.resolved import Leaf, Tree, resolved
from compiler.spec.tree import path_text
from compiler.units.number import Units

Key = tuple[str | int, ...]
GROUPS = ("keep_regions", "tools", "passes")  # told as one where all of an item comes or goes
_BARE = re.compile(r"[-+0-9./]+")
_DECIMALS = 9


@dataclass(frozen=True, slots=True)
class Said:
    """One value: what it means, how it is shown, what set it."""

    meaning: object
    shown: str
    set_by: str


def compare_values(before: Loaded, after: Loaded) -> tuple[tuple[ValueChange, ...], int]:
    """Changed values, and how many did not change."""
    old, new = said_by(before), said_by(after)
    changes = []
    told: set[Key] = set()
    for key in _in_order(old, new):
        group = _group(key)
        if key in old and key in new:
            if old[key].meaning != new[key].meaning:
                changes.append(_change(path_text(key), old[key], new[key]))
        elif group and not (_has(old, group) and _has(new, group)):
            if group not in told:
                told.add(group)
                changes.append(_whole(group, old, new))
        else:
            changes.append(_change(path_text(key), old.get(key), new.get(key)))
    same = sum(key in new and old[key].meaning == new[key].meaning for key in old)
    return tuple(changes), same


def said_by(loaded: Loaded) -> dict[Key, Said]:
    """Every value of a job by its key."""
    return dict(_walk(resolved(loaded), (), loaded.document.units))


def _walk(tree: Tree, key: Key, units: Units) -> Iterator[tuple[Key, Said]]:
    match tree:
        case Leaf():
            yield key, Said(_meaning(tree), _shown(tree, units), tree.set_by)
        case dict():
            for name, inner in tree.items():
                yield from _walk(inner, (*key, name), units)
        case list() if key == ("setups",):
            for inner in tree:
                assert isinstance(inner, dict)
                called = inner["name"]
                assert isinstance(called, Leaf)
                yield from _walk(inner, (*key, str(called.value)), units)
        case list() if key[-1:] == ("passes",) and (len(key) == 1 or key[0] == "setups"):
            for name, inner in _named(tree):
                yield from _walk(inner, (*key, name), units)
        case list():
            if _is_point(tree):
                yield key, _point(tree, units)
                return
            for index, inner in enumerate(tree):
                yield from _walk(inner, (*key, index), units)


def _named(passes: list[Tree]) -> Iterator[tuple[str, Tree]]:
    """Passes by the names that the job knows them by."""
    counts: dict[str, int] = {}
    for item in passes:
        assert isinstance(item, dict)
        ((kind, inner),) = item.items()
        counts[kind] = counts.get(kind, 0) + 1
        own = inner.get("name") if isinstance(inner, dict) else None
        name = str(own.value) if isinstance(own, Leaf) else f"{kind} {counts[kind]}"
        yield name, {kind: inner}


def _is_point(items: list[Tree]) -> bool:
    """Whether a list is a pair of numbers, which people read as one value."""
    return len(items) == 2 and all(
        isinstance(item, Leaf) and (isinstance(item.typed, Amount) or _is_number(item.value))
        for item in items
    )


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _point(items: list[Tree], units: Units) -> Said:
    leaves = [item for item in items if isinstance(item, Leaf)]
    shown = ", ".join(_shown(leaf, units) for leaf in leaves)
    meaning = tuple(_meaning(leaf) for leaf in leaves)
    return Said(meaning, f"[{shown}]", leaves[0].set_by)


def _meaning(leaf: Leaf) -> object:
    if isinstance(leaf.typed, Amount):
        return leaf.typed.measure.name, round(float(leaf.typed), _DECIMALS)
    value = leaf.value
    if _is_number(value):
        return round(float(value), _DECIMALS)
    return value


def _shown(leaf: Leaf, units: Units) -> str:
    """As it was written, a bare number with the unit that it has there."""
    if isinstance(leaf.typed, Amount) and _BARE.fullmatch(leaf.text):
        unit = leaf.typed.measure.bare[units] or (
            "deg" if leaf.typed.measure.name == "angle" else ""
        )
        return f"{leaf.text} {unit}".rstrip()
    return leaf.text


def _in_order(old: Mapping[Key, Said], new: Mapping[Key, Said]) -> list[Key]:
    """All keys, the new job's order first; keys that went stand after their nearest neighbour."""
    order = list(new)
    place = {key: i for i, key in enumerate(order)}
    last = -1
    spots: list[tuple[int, int, Key]] = [(i, 0, key) for key, i in place.items()]
    for count, key in enumerate(old, start=1):
        if key in place:
            last = place[key]
        else:
            spots.append((last, count, key))
    return [key for _, _, key in sorted(spots, key=lambda spot: spot[:2])]


def _group(key: Key) -> Key:
    """The item that a value belongs to, where items are told as one; empty where it is alone."""
    if key[0] == "setups":
        inner = key[2:]
        return (*key[:2], *_group(inner)) if inner and inner[0] in GROUPS else key[:2]
    return key[:2] if key[0] in GROUPS and len(key) > 2 else ()


def _has(said: Mapping[Key, Said], group: Key) -> bool:
    return any(key[: len(group)] == group for key in said)


def _whole(group: Key, old: Mapping[Key, Said], new: Mapping[Key, Said]) -> ValueChange:
    """A region, tool or pass that came or went with all its values."""

    def text(said: Mapping[Key, Said]) -> str | None:
        inside = [key for key in said if key[: len(group)] == group]
        if not inside:
            return None
        return f"{inside[0][len(group)]}, {len(inside)} value{'' if len(inside) == 1 else 's'}"

    set_by = [
        next((s.set_by for k, s in side.items() if k[: len(group)] == group), "")
        for side in (old, new)
    ]
    return ValueChange(
        key=path_text(group),
        before=text(old),
        after=text(new),
        set_by_before=set_by[0],
        set_by_after=set_by[1],
    )


def _change(key: str, old: Said | None, new: Said | None) -> ValueChange:
    return ValueChange(
        key=key,
        before=None if old is None else old.shown,
        after=None if new is None else new.shown,
        set_by_before="" if old is None else old.set_by,
        set_by_after="" if new is None else new.set_by,
    )
