"""What setups before took off the stock, as it lies in the next one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely import affinity

from compiler.diagnostics import Diagnostic, Label
from compiler.geometry.polygon import to_polygon
from compiler.geometry.pose import Pose
from compiler.job import Job
from compiler.part.model import Gone, Part, Side
from compiler.paths.sets import CHORD, Ground, area_of
from compiler.units.number import length

SPECK = 1.0  # mm2: less than this is the chords' doing


def lying(gone: Sequence[Gone], pose: Pose) -> tuple[Gone, ...]:
    """What is gone, after the part was turned."""
    matrix = pose.matrix()
    above: Side = "below" if pose.flips else "above"
    below: Side = "above" if pose.flips else "below"
    return tuple(
        replace(
            each,
            area=area_of(affinity.affine_transform(each.area, matrix)),
            height=pose.height(each.height),
            side=above if each.side == "above" else below,
        )
        for each in gone
    )


def standing_in_air(job: Job, part: Part) -> list[Diagnostic]:
    """Keep regions of this setup where setups before have left no material up to their tops (E361).

    Only what is missing matters that was cut from the side that is up, or right through.
    """
    ground = Ground.of(part)
    found = []
    for standing in part.own:
        region = to_polygon(standing.region, CHORD, "inside")
        within = area_of(region.intersection(to_polygon(part.stock, CHORD, "inside")))
        there = ground.at(standing.top - 2 * CHORD)
        missing = area_of(within.difference(there.buffer(2 * CHORD)))
        if missing.area <= SPECK:
            continue
        at = shapely.point_on_surface(missing)
        x, y = (length(v + d, job.units) for v, d in zip((at.x, at.y), job.datum.at, strict=True))
        found.append(
            Diagnostic(
                code="E361",
                message=f"region `{standing.name}` can't stand: a setup before has cut away what "
                f"is at ({x}, {y})",
                primary=Label(standing.origin),
                help="take the region back to what is left, lower its top, or let it stand in the "
                "earlier setup",
                data=(("missing_mm2", round(missing.area, 2)),),
            )
        )
    return found
