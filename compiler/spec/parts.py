"""Several parts on one table, resolved: where each lies, and which work offset it is cut in."""

from __future__ import annotations

from compiler.geometry import Point
from compiler.job import Datum, Stock, Table, Tool
from compiler.spec.models import job as written
from compiler.spec.models.parts import Parts, PartsGrid
from compiler.spec.place import Place

APART = 100.0  # mm between parts whose places are not said, besides the widest tools
MOST = 64  # parts


def table_of(
    said: written.Job, stock: Stock, datum: Datum, tools: tuple[Tool, ...], place: Place
) -> Table | None:
    """The table; None where a job cuts one part, or where it makes no sense (E264 to E266)."""
    parts = said.parts
    if parts is None:
        return None
    if said.setups is not None:
        place.report(
            "E264",
            "`parts` and `setups` do not go together yet",
            "cut the parts of each setup one by one, or write a job for each side",
            span=place.key_span,
        )
        return None
    if parts.grid is not None:
        return _grid(parts, parts.grid, datum, place)
    return _offsets(parts, stock, datum, tools, place)


def _grid(parts: Parts, grid: PartsGrid, datum: Datum, place: Place) -> Table | None:
    across, away = grid.count
    if not 2 <= across * away <= MOST:
        (place / "grid" / "count").report(
            "E265",
            f"{across} by {away} parts",
            f"give 2 to {MOST} parts in all, or leave `parts` out for a single one",
        )
        return None
    if parts.places is not None:
        (place / "places").report(
            "E265",
            "`places` stands beside a grid, which says the places already",
            "leave it out",
            span=(place / "places").key_span,
        )
        return None
    places = []
    for j in range(away):
        row = range(across) if j % 2 == 0 else range(across - 1, -1, -1)
        places += [Point(i * float(grid.pitch[0]), j * float(grid.pitch[1])) for i in row]
    return Table(
        places=tuple(places),
        is_said=True,
        work_offsets=(datum.work_offset,) * len(places),
        order=parts.order,
        origin=place.key_span,
    )


def _offsets(
    parts: Parts, stock: Stock, datum: Datum, tools: tuple[Tool, ...], place: Place
) -> Table | None:
    offsets = parts.work_offsets or ()
    where = place / "work_offsets"
    if len(set(offsets)) < len(offsets):
        where.report("E265", "a work offset stands twice", "give each part one of its own")
        return None
    if offsets[0] != datum.work_offset:
        where.report(
            "E265",
            f"the first part is in {offsets[0]}, the datum in {datum.work_offset}",
            f"begin with {datum.work_offset}, or set the datum's `work_offset`",
        )
        return None
    if parts.places is not None:
        if len(parts.places) != len(offsets):
            (place / "places").report(
                "E265",
                f"{len(parts.places)} places for {len(offsets)} work offsets",
                "give a place for each, the first one [0, 0]",
            )
            return None
        first = Point(*(float(value) for value in parts.places[0]))
        places = [Point(float(x), float(y)).minus(first) for x, y in parts.places]
    else:
        # only so that they are told apart; nothing is concluded from how far
        widest = max((tool.diameter for tool in tools), default=0.0)
        step = stock.region.bounds[2] - stock.region.bounds[0] + APART + 4 * widest
        places = [Point(step * k, 0.0) for k in range(len(offsets))]
    return Table(
        places=tuple(places),
        is_said=parts.places is not None,
        work_offsets=offsets,
        order=parts.order,
        origin=place.key_span,
    )
