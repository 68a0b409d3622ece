"""How two plans and their evidence differ: tools, operations, totals, margins."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.compare.model import Figure, ItemChange, Margin
from compiler.judge.model import OperationFacts, Report
from compiler.plan.model import Operation, OperationList
from compiler.units.clock import clock
from compiler.units.figures import area
from compiler.units.number import MM_PER_INCH, Units, fixed, length, short

FEED_DECIMALS = {"inch": 1, "mm": 0}
_SAME_MARGIN = 1e-6


def compare_tools(
    before: OperationList, after: OperationList
) -> tuple[tuple[ItemChange, ...], int]:
    """Tools that came, went or changed, and how many did not."""
    old = {t.name: (f"T{t.number}", t.description) for t in before.tools}
    new = {t.name: (f"T{t.number}", t.description) for t in after.tools}
    return _items(
        {k: [("number", n), ("tool", d)] for k, (n, d) in old.items()},
        {k: [("number", n), ("tool", d)] for k, (n, d) in new.items()},
    )


def compare_operations(
    before: OperationList,
    after: OperationList,
    evidence: tuple[Report | None, Report | None],
) -> tuple[tuple[ItemChange, ...], int]:
    """Operations that came, went or changed, and how many did not."""
    units = after.units
    old, new = (
        {op.id: _figures(op, _facts(report, op.id), units) for op in plan.operations}
        for plan, report in zip((before, after), evidence, strict=True)
    )
    return _items(old, new)


def order_changed(before: OperationList, after: OperationList) -> bool:
    """Whether the operations that both have come in another order."""
    old = [op.id for op in before.operations]
    new = [op.id for op in after.operations]
    return [name for name in old if name in new] != [name for name in new if name in old]


def compare_totals(
    plans: tuple[OperationList, OperationList],
    reports: tuple[Report | None, Report | None],
    sizes: tuple[int, int],
) -> tuple[tuple[Figure, ...], int]:
    """Totals that differ, and how many do not."""
    old, new = (
        _totals(plan, report, size, plans[1].units)
        for plan, report, size in zip(plans, reports, sizes, strict=True)
    )
    changed = tuple(
        Figure(name=name, before=old[name], after=new[name])
        for name in new
        if name in old and old[name] != new[name]
    )
    return changed, len(set(old) & set(new)) - len(changed)


def compare_margins(before: Report, after: Report) -> tuple[tuple[Margin, ...], int]:
    """Obligations whose margin or state differs, and how many do not."""
    old = {entry.name: entry for entry in before.obligations}
    changed, same = [], 0
    for entry in after.obligations:
        was = old.get(entry.name)
        if was is None:
            continue
        near = (was.margin is None) == (entry.margin is None) and (
            was.margin is None
            or entry.margin is None
            or abs(was.margin - entry.margin) <= _SAME_MARGIN
        )
        if near and was.held == entry.held:
            same += 1
            continue
        changed.append(
            Margin(
                name=entry.name,
                unit=entry.unit,
                before=was.margin,
                after=entry.margin,
                held_before=was.held,
                held_after=entry.held,
            )
        )
    return tuple(changed), same


Pairs = list[tuple[str, str]]


def _items(old: dict[str, Pairs], new: dict[str, Pairs]) -> tuple[tuple[ItemChange, ...], int]:
    changes: list[ItemChange] = []
    for name, figures in new.items():
        if name not in old:
            shown = tuple(Figure(name=k, before="", after=v) for k, v in figures if v)
            changes.append(ItemChange(name=name, what="added", figures=shown))
            continue
        was = dict(old[name])
        differing = tuple(
            Figure(name=k, before=was.get(k, ""), after=v)
            for k, v in figures
            if was.get(k, "") != v
        )
        if differing:
            changes.append(ItemChange(name=name, what="changed", figures=differing))
    changed = len(changes)
    changes += [ItemChange(name=name, what="removed") for name in old if name not in new]
    return tuple(changes), len(new) - changed


def _figures(op: Operation, facts: OperationFacts | None, units: Units) -> Pairs:
    """What a reviewer looks at in an operation, as text; empty where it has none."""
    cutting = op.cutting
    figures = [
        ("kind", op.kind),
        ("tool", op.tool),
        ("pattern", op.pattern or ""),
        ("depths", _depths(op, units)),
        ("walls of", ", ".join(op.regions or ())),
        ("radial depth", length(op.radial_depth_mm, units)),
        ("engagement", "" if op.engagement_deg is None else f"{short(op.engagement_deg, 1)} deg"),
        ("direction", op.direction),
        ("wall allowance", length(op.wall_allowance_mm, units)),
        ("floor allowance", length(op.floor_allowance_mm, units)),
        ("spring passes", str(op.spring_passes)),
        ("speed", f"{short(cutting.rpm, 0)} rpm"),
        ("feed", _feed(cutting.feed_mm_min, units)),
        ("slot feed", _feed(cutting.slot_feed_mm_min, units)),
        ("entry feed", _feed(cutting.entry_feed_mm_min, units)),
        ("plunge feed", _feed(cutting.plunge_feed_mm_min, units)),
        ("finish feed", _feed(cutting.finish_feed_mm_min, units)),
        ("coolant", op.coolant),
        ("stop before", "yes" if op.stop_before else "no"),
    ]
    if facts is not None:
        figures += [
            ("time", clock(facts.time_s)),
            ("cut length", length(round(facts.cut_length_mm, 1), units)),
            ("lifts", str(facts.lifts)),
        ]
    return figures


def _depths(op: Operation, units: Units) -> str:
    """Z of each level, the lowest only where there are many."""
    bottoms = list(dict.fromkeys(length(level.bottom_mm, units) for level in op.levels))
    if len(bottoms) > 4:
        return f"Z {bottoms[0]} to {bottoms[-1]} in {len(bottoms)} levels"
    return "Z " + ", ".join(bottoms) if bottoms else ""


def _feed(mm_min: float, units: Units) -> str:
    if units == "inch":
        return f"{fixed(mm_min / MM_PER_INCH, FEED_DECIMALS[units])} in/min"
    return f"{fixed(mm_min, FEED_DECIMALS[units])} mm/min"


def _facts(report: Report | None, operation: str) -> OperationFacts | None:
    facts: Sequence[OperationFacts] = () if report is None else report.operations
    return next((fact for fact in facts if fact.operation == operation), None)


def _totals(plan: OperationList, report: Report | None, size: int, units: Units) -> dict[str, str]:
    totals = {
        "operations": str(len(plan.operations)),
        "tools": str(len(plan.tools)),
        "work offset": plan.work_offset,
        "clearance": f"Z {length(plan.clearance_mm, units)}",
    }
    if report is None:
        return totals
    cubic = MM_PER_INCH**3 if units == "inch" else 1000.0
    unit = "in3" if units == "inch" else "cm3"
    left = sum(place.area_mm2 for place in report.leftovers)
    return totals | {
        "time": clock(report.time_s),
        "program": f"{report.blocks} blocks, {size} bytes",
        "removed": f"{short(report.removed_mm3 / cubic, 3)} {unit}",
        "places left": f"{len(report.leftovers)}, {area(left, units)}" if left else "none",
    }
