"""The job's passes: names given out, tools, regions and earlier passes checked."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from compiler.diagnostics import Label, Span
from compiler.geometry import Point
from compiler.job import AUTO, CuttingGiven, Entry, Pass, Tool
from compiler.spec.models import passes as written
from compiler.spec.models.amounts import OfDiameter
from compiler.spec.models.passes import Cutting, PassItem
from compiler.spec.place import Place
from compiler.spec.shapes import point
from compiler.spec.tree import Table, at


def passes_of(
    said: Sequence[PassItem],
    tools: Mapping[str, Tool | None],
    regions: Collection[str],
    place: Place,
) -> tuple[Pass, ...]:
    """The passes in cutting order; names that point nowhere are reported (E201, E202, E206, E208),
    and a drill that nobody names (E482).

    Args:
        said: As the author wrote them.
        tools: By name; None for one that could not be made, which has been reported.
        regions: Names of the keep regions.
        place: Of the list of passes.
    """
    names = _names(said)
    found = []
    for i, item in enumerate(said):
        here = place / i / item.kind
        _check_name(names, i, said, place)
        _check_references(item.given, names[:i], tools, regions, here)
        tool = tools.get(item.given.tool)
        found.append(_pass(item, names[i], tool, here))
    return tuple(found)


def _names(said: Sequence[PassItem]) -> list[str]:
    """As given, else the kind and its number among its kind."""
    counts: dict[str, int] = {}
    names = []
    for item in said:
        counts[item.kind] = counts.get(item.kind, 0) + 1
        names.append(item.given.name or f"{item.kind} {counts[item.kind]}")
    return names


def _check_name(names: Sequence[str], i: int, said: Sequence[PassItem], place: Place) -> None:
    if names[i] not in names[:i]:
        return
    first = place / names.index(names[i]) / said[names.index(names[i])].kind
    here = place / i / said[i].kind
    here.report(
        "E208",
        f"two passes are called `{names[i]}`",
        "give each pass a `name` of its own",
        span=(here / "name").span if said[i].given.name else here.key_span,
        also=(Label(first.key_span, "the first of them"),),
    )


def _check_references(
    given: written.Pass,
    before: Sequence[str],
    tools: Mapping[str, Tool | None],
    regions: Collection[str],
    place: Place,
) -> None:
    if given.tool == AUTO:
        if isinstance(given, written.DrillHoles):
            (place / "tool").report(
                "E482",
                "a drill can't be chosen: its diameter is the hole's",
                "name the drill, as `tool: T1`",
            )
    elif given.tool not in tools:
        none = "write the tool under `tools`, or say `tool: auto`"
        (place / "tool").unknown("E201", "tool", given.tool, tools, none)
    known = dict.fromkeys(regions)
    for where, name in _each(place / "regions", given.regions):
        if name not in known:
            where.unknown("E202", "keep region", name, known, "name a region")
    if isinstance(given, written.Rest):
        earlier = dict.fromkeys(before)
        for where, name in _each(place / "after", given.after):
            if name not in earlier:
                where.unknown(
                    "E206", "earlier pass", name, earlier, "put this pass after the one meant"
                )


def _each(place: Place, names: tuple[str, ...] | None) -> list[tuple[Place, str]]:
    """Names with their places; a single name may stand without a list."""
    given = [(place / i, name) for i, name in enumerate(names or ())]
    return [(where if where.exists else place, name) for where, name in given]


def _pass(item: PassItem, name: str, tool: Tool | None, place: Place) -> Pass:
    given = item.given
    allowance = given.allowance
    return Pass(
        kind=item.kind,  # type: ignore[arg-type]
        name=name,
        tool=given.tool,
        to=_maybe(given.to),
        start=_maybe(given.from_),
        regions=given.regions,
        pattern=given.pattern,
        axial_depth=_maybe(given.axial_depth),
        radial_depth=_radial_depth(given.radial_depth, tool),
        radial_share=_radial_share(given),
        engagement=_maybe(given.engagement),
        wall_allowance=None if allowance is None else _maybe(allowance.wall),
        floor_allowance=None if allowance is None else _maybe(allowance.floor),
        direction=given.direction,
        angle=_maybe(given.angle),
        entry=_entry(given.entry),
        cutting=_cutting(given.cutting),
        coolant=given.coolant,
        stop_before=given.stop_before,
        after=given.after if isinstance(given, written.Rest) else None,
        count=given.count if isinstance(given, written.Rest) else 1,
        spring_passes=given.spring_passes if isinstance(given, written.FinishWalls) else 0,
        compensation=given.compensation if isinstance(given, written.FinishWalls) else "none",
        wear_range=_maybe(given.wear_range) if isinstance(given, written.FinishWalls) else None,
        at=_holes(given, place),
        cycle=given.cycle if isinstance(given, written.DrillHoles) else "plain",
        peck=_maybe(given.peck) if isinstance(given, written.DrillHoles) else None,
        dwell=_maybe(given.dwell) if isinstance(given, written.DrillHoles) else None,
        width=float(given.width) if isinstance(given, written.BreakEdges) else None,
        about=given.about or "",
        origin=place.key_span,
        spans=_spans(place),
    )


def _radial_depth(said: float | None, tool: Tool | None) -> float | None:
    if isinstance(said, OfDiameter):
        return None if tool is None else said * tool.diameter
    return _maybe(said)


def _radial_share(given: written.Pass) -> float | None:
    """A percentage of a diameter that is not known before the cutter is chosen."""
    said = given.radial_depth
    return float(said) if isinstance(said, OfDiameter) and given.tool == AUTO else None


def _entry(said: written.Entry | None) -> Entry:
    if said is None:
        return Entry()
    return Entry(
        max_ramp_angle=_maybe(said.max_ramp_angle), helix_diameter=_maybe(said.helix_diameter)
    )


def _cutting(said: str | Cutting | None) -> CuttingGiven:
    if not isinstance(said, Cutting):
        return CuttingGiven()
    return CuttingGiven(
        rpm=said.rpm,
        speed=_maybe(said.speed),
        feed=_maybe(said.feed),
        chip_load=_maybe(said.chip_load),
        entry_feed=_maybe(said.entry_feed),
        finish_feed=_maybe(said.finish_feed),
    )


def _holes(given: written.Pass, place: Place) -> tuple[Point, ...]:
    if not isinstance(given, written.DrillHoles):
        return ()
    if isinstance(given.at, tuple):
        return tuple(point(pair) for pair in given.at)
    where = place / "at" / "drawing"
    assert where.linked is not None
    return where.linked.holes(given.at.drawing, where)


def _spans(place: Place) -> dict[str, Span]:
    node = at(place.root, place.path)
    if not isinstance(node, Table):
        return {}
    return {key: entry.node.span for key, entry in node.entries.items()}


def _maybe(value: float | None) -> float | None:
    return None if value is None else float(value)
