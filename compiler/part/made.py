"""What setups before have finished, as it lies in the next one, and how it is spared there.

A setup cuts walls round its keep regions, from their tops down to its floor, and the floor itself:

    setup 1                        setup 2, turned over
        ___                         _______________________ face, to be cut
       |   | boss                   ____         __________ floor of setup 1, seen from behind
    ___|   |____ floor                  | boss  |              hollow below it
    _______________                     |_______|

Seen again from the side that it was cut from, a wall stands as a keep region does. From the other
side it stands up to its floor, and the floor stands over the hollow: a cut that goes lower breaks
through, which a setup must ask for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from compiler.diagnostics import Diagnostic, Label
from compiler.geometry import EMPTY, Region
from compiler.geometry.combine import difference, intersection, union
from compiler.geometry.errors import GeometryError
from compiler.geometry.pose import Pose
from compiler.job import Job
from compiler.part.model import Made, Part, Standing
from compiler.part.regions import refused
from compiler.units.number import length

SAME = 1e-6  # mm
SPECK = 0.05  # mm2: less than this is what outlines that run together leave between them


def finished(job: Job, part: Part, floor: float | None) -> tuple[Made, ...]:
    """All that is finished when a setup is done: what was before it, and what it made.

    `floor` is how deep it cleared, None where it cleared nothing. Its own coordinates.
    """
    if job.setup is None or floor is None:
        return part.made
    walls = [
        Made(
            name=s.name,
            setup=job.setup.name,
            kind="wall",
            region=s.region,
            low=floor,
            high=s.top,
            faces_down=False,
            origin=s.origin,
        )
        for s in part.own
        if s.top > floor + SAME
    ]
    stands = [s.region for s in part.standing if s.top > floor + SAME]
    cleared = difference(part.stock, union(*stands)) if stands else part.stock
    ground = Made(
        name="floor",
        setup=job.setup.name,
        kind="floor",
        region=cleared,
        low=floor,
        high=floor,
        faces_down=False,
        origin=job.setup.origin,
    )
    return (*part.made, *walls, *([] if cleared.is_empty else [ground]))


def lying(made: Sequence[Made], pose: Pose) -> tuple[Made, ...]:
    """Features as they lie after the part was turned."""
    return tuple(
        replace(
            each,
            region=pose.of(each.region),
            low=min(pose.height(each.low), pose.height(each.high)),
            high=max(pose.height(each.low), pose.height(each.high)),
            faces_down=each.faces_down != pose.flips,
        )
        for each in made
    )


def spared(
    job: Job, stock: Region, own: Sequence[Standing], made: Sequence[Made]
) -> tuple[tuple[Standing, ...], list[Diagnostic]]:
    """What stands because setups before finished it, and where the job would cut into it.

    A wall that lies wholly within a region of this setup goes by that region's top. A floor seen
    from behind stands wherever no region of this setup stands above it.
    """
    standing: list[Standing] = []
    findings: list[Diagnostic] = []
    opens = job.setup is not None and job.setup.breaks_through
    for each in made:
        if each.kind == "floor" and (opens or not each.faces_down):
            continue
        try:
            region = _uncovered(each, stock, own)
        except GeometryError as error:
            path = f"setups.{each.setup}"
            findings.append(refused(_called(each), each.origin, path, error, job.units))
            continue
        if region.is_empty or region.area <= SPECK:
            continue
        if each.kind == "floor":
            findings += _broken_through(job, each, region)
        standing.append(_standing(each, region))
    return tuple(standing), findings


def _uncovered(made: Made, stock: Region, own: Sequence[Standing]) -> Region:
    """What of a feature no region of this setup answers for."""
    if made.kind == "wall":
        if not own:
            return made.region
        within = intersection(made.region, stock)  # an open region goes on into the air
        rest = difference(within, *(s.region for s in own))
        return EMPTY if rest.is_empty or rest.area <= SPECK else made.region
    above = [s.region for s in own if s.top > made.high + SAME]
    return difference(made.region, *above) if above else made.region


def _broken_through(job: Job, floor: Made, region: Region) -> list[Diagnostic]:
    """Passes that go as deep as a floor that was cut from the other side (E360)."""
    found = []
    for asked in job.passes:
        if asked.kind in ("drill", "break_edges") or asked.to is None:
            continue
        if asked.to > floor.high + SAME:
            continue
        found.append(
            Diagnostic(
                code="E360",
                message=f"`{asked.name}` goes to Z {length(asked.to, job.units)} and breaks "
                f"through the floor that setup `{floor.setup}` cut from the other side, "
                f"which lies at Z {length(floor.high, job.units)}",
                primary=Label(asked.spans.get("to", asked.origin)),
                secondary=(Label(floor.origin, "the setup that cut the floor"),),
                help=f"stay above Z {length(floor.high, job.units)}, keep a region over the "
                "floor, or say `breaks_through: true` in this setup if it is meant",
                data=(("floor_mm", round(floor.high, 4)), ("area_mm2", round(region.area, 2))),
            )
        )
    return found


def _standing(made: Made, region: Region) -> Standing:
    return Standing(
        name=_called(made),
        region=region,
        top=made.high,
        is_open=False,
        tolerance=None,
        wall_allowance=None,
        floor_allowance=None,
        about="",
        origin=made.origin,
        made_in=made.setup,
        hidden=made.faces_down,
    )


def _called(made: Made) -> str:
    return f"{made.name} of {made.setup}"
