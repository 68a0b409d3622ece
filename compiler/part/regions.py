"""Keep regions against the stock: a region must be stock to begin with."""

from __future__ import annotations

from typing import Literal

from compiler.diagnostics import Diagnostic, Label
from compiler.geometry import Chain, Region
from compiler.geometry.across import AT_EDGE, side_of_chain
from compiler.geometry.combine import difference, intersection
from compiler.geometry.errors import GeometryError
from compiler.geometry.offset import grow
from compiler.geometry.transform import moved
from compiler.job import Job, KeepRegion
from compiler.job.model import Units
from compiler.units.number import length


def closed_area(keep: KeepRegion, region: Region, stock: Region, units: Units) -> list[Diagnostic]:
    """What is wrong with a closed keep region; nothing where it lies in the stock.

    Its edge may lie on the stock's, or beyond it by 0.0025 mm.
    """
    path = f"keep_regions.{keep.name}"
    if region.is_empty:
        return [
            Diagnostic(
                code="E308",
                message=f"nothing is left of region `{keep.name}`",
                primary=Label(keep.origin, "empty"),
                path=path,
                help="take less off it by `minus` or `grow`, or leave the region out",
            )
        ]
    beyond = difference(region, grow(stock, AT_EDGE))
    if beyond.is_empty:
        return []
    if intersection(region, stock).is_empty:
        return [
            Diagnostic(
                code="E310",
                message=f"region `{keep.name}` lies outside the stock",
                primary=Label(
                    keep.origin,
                    f"X {_extent(region, 0, units)}, Y {_extent(region, 1, units)} from the datum",
                ),
                path=path,
                help=f"move it into the stock, which is at X {_extent(stock, 0, units)}, "
                f"Y {_extent(stock, 1, units)} from the datum; check units and origin",
            )
        ]
    side, excess = _worst_side(region, stock)
    if excess <= AT_EDGE:  # inside the stock's rectangle, but not inside its outline
        outward = "make the stock larger there or the region smaller"
        excess_text = f"by {beyond.area:.4g} mm2"
    else:
        outward = (
            f"make the stock {length(excess, units)} longer {side}, or take the region back by "
            "as much; for a wall right across the stock give an `open` path"
        )
        excess_text = f"by {length(excess, units)} {side}"
    return [
        Diagnostic(
            code="E311",
            message=f"region `{keep.name}` sticks out of the stock {excess_text}",
            primary=Label(keep.origin, "no material stands there"),
            path=path,
            help=outward,
            data=(("area_beyond_mm2", beyond.area), ("excess_mm", max(excess, 0.0))),
        )
    ]


def open_area(
    keep: KeepRegion,
    chain: Chain,
    stands: Literal["left", "right"],
    stock: Region,
    air: float,
    job: Job,
) -> tuple[Region | None, list[Diagnostic]]:
    """The area on the standing side of an open chain, closed `air` mm beyond the stock."""
    try:
        return side_of_chain(chain, stands, stock, air), []
    except GeometryError:
        pass
    # once more in the drawing's coordinates, so that the message names the author's own points
    try:
        side_of_chain(moved(chain, job.datum.at), stands, moved(stock, job.datum.at), air)
    except GeometryError as error:
        message, help = error.worded(job.units)
        return None, [
            Diagnostic(
                code=error.code,
                message=f"region `{keep.name}`: {message}",
                primary=Label(keep.origin),
                path=f"keep_regions.{keep.name}.open",
                help=help,
            )
        ]
    raise AssertionError("a chain that fails in work coordinates fails in the drawing's too")


def _extent(region: Region, axis: Literal[0, 1], units: Units) -> str:
    low, high = region.bounds[axis], region.bounds[axis + 2]
    return f"{length(low, units)} to {length(high, units)}"


def _worst_side(region: Region, stock: Region) -> tuple[str, float]:
    """The side on which a region leaves the stock's rectangle most, and by how much, mm."""
    inner, outer = region.bounds, stock.bounds
    sides = (
        ("to the left", outer[0] - inner[0]),
        ("to the front", outer[1] - inner[1]),
        ("to the right", inner[2] - outer[2]),
        ("to the back", inner[3] - outer[3]),
    )
    return max(sides, key=lambda side: side[1])
