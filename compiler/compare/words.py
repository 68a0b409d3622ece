"""The parts of a difference in words, shared by the text for terminals and by Markdown."""

from __future__ import annotations

from compiler.compare.model import Difference, FamilyDifference, Margin, RegionChange, ValueChange
from compiler.compare.regions import STOCK
from compiler.units.figures import in_job_units
from compiler.units.number import Units, fixed, length, short


def region_words(change: RegionChange, units: Units) -> str:
    """What became of a region: `moved by X 1 in, Y 0 in; top Z -0.1 in → -0.2 in`."""
    parts: list[str] = []
    match change.what:
        case "added" | "removed":
            top = change.top_after_mm if change.what == "added" else change.top_before_mm
            return f"{change.what}, top Z {length(top or 0.0, units)}"
        case "moved" if change.moved_mm is not None:
            x, y = (length(value, units) for value in change.moved_mm)
            parts.append(f"moved by X {x}, Y {y}")
        case "reshaped" if change.differs_mm is not None:
            parts.append(f"outline differs by up to {length(change.differs_mm, units)}")
            parts += _area(change)
        case "reshaped":
            parts += ["nothing of it stands in both stocks", *_area(change)]
        case _:
            pass
    old, new = change.top_before_mm, change.top_after_mm
    if old is not None and new is not None and abs(old - new) > 1e-6:
        parts.append(f"top Z {length(old, units)} → {length(new, units)}")
    return "; ".join(parts)


def region_name(change: RegionChange) -> str:
    """A keep region's name, or the stock."""
    return "stock" if change.name == STOCK else change.name


def _area(change: RegionChange) -> list[str]:
    old, new = change.area_before_mm2, change.area_after_mm2
    if not old or new is None:
        return []
    percent = 100 * (new - old) / old
    sign = "+" if percent > 0 else ""
    return [f"area {sign}{short(percent, 2)} %"] if abs(percent) >= 0.005 else []


def value_words(change: ValueChange) -> str:
    """`0.1 in → 0.2 in`, `set to ...`, `taken away, was ...`."""
    if change.before is None:
        return f"added: {change.after}"
    if change.after is None:
        return f"taken away, was {change.before}"
    return f"{change.before} → {change.after}"


def margin_words(change: Margin, units: Units) -> str:
    """`0.0021 in → 0.0019 in`; broken ones are named so."""
    return f"{_margin(change, True, units)} → {_margin(change, False, units)}"


def _margin(change: Margin, before: bool, units: Units) -> str:
    value = change.before if before else change.after
    held = change.held_before if before else change.held_after
    state = "" if held else "BROKEN "
    if value is None:
        return f"{state}no figure" if held else "BROKEN"
    figure, unit = in_job_units(value, change.unit, units)
    return f"{state}{fixed(figure, 5 if unit == 'in' else 4)} {unit}".rstrip()


def counts(difference: Difference) -> str:
    """What did not change: `unchanged: 74 values, 3 regions, ...`."""
    listed = [
        (difference.unchanged_values, "value"),
        (difference.unchanged_regions, "outline"),
        (difference.unchanged_tools, "tool"),
        (difference.unchanged_operations, "operation"),
        (difference.unchanged_totals, "total"),
        (difference.unchanged_margins, "margin"),
    ]
    said = [f"{count} {name}{'' if count == 1 else 's'}" for count, name in listed if count]
    return "unchanged: " + (", ".join(said) or "nothing")


def reach(difference: Difference) -> str:
    """How far the comparison goes, where it is not the whole way."""
    match difference.compared:
        case "the cut":
            return ""
        case "the plan":
            return "compared as far as the plan; the cut was not asked for, or falls short"
        case _:
            return "compared by values only: one of the jobs falls short before its plan"


def family_words(found: FamilyDifference, is_markdown: bool = False) -> str:
    """What became of a family's members, in one line or, in Markdown, one sentence."""
    parts = [f"{len(found.changed)} of {found.unchanged + len(found.changed)} members change"]
    parts += [f"added: {', '.join(found.added)}"] if found.added else []
    parts += [f"removed: {', '.join(found.removed)}"] if found.removed else []
    said = "; ".join(parts)
    return f"**{said}**\n" if is_markdown else f"{found.before} → {found.after}: {said}\n"
