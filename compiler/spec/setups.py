"""The setups of a job as they were written, and what each makes of the stock before it.

A job that says `passes` has one, which has no name; one that says `setups` has those, in order.
Each looks at the part from above. `turned` says how the part gets from the setup before to this
one; the lower left corner of the stock's box stays where it was, so that coordinates stay small.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from compiler.diagnostics import Label
from compiler.geometry.pose import Over, Pose
from compiler.job import AUTO, Job, KeepRegion, OpenChain, Pass, Setup, Stock, Tool
from compiler.spec.models import job as written
from compiler.spec.models.passes import PassItem
from compiler.spec.models.setting import Datum, Heights, Workholding
from compiler.spec.models.setups import Setup as WrittenSetup
from compiler.spec.models.shapes import KeepRegion as WrittenRegion
from compiler.spec.models.shop import Machine
from compiler.spec.place import Place

CLEARS = ("face", "rough", "rest", "finish_floor", "finish_walls")
OVER: Mapping[str, Over] = {"none": "none", "over_x": "x", "over_y": "y"}
OTHER_SIDE = {"left": "right", "right": "left"}


@dataclass(frozen=True, slots=True)
class Side:
    """One setup as it was written. `top` is the top of the document, `place` where it stands."""

    number: int
    count: int
    top: Place
    place: Place
    said: WrittenSetup | None  # None: the job's only one
    machine: str | Machine
    datum: Datum
    workholding: Workholding
    heights: Heights
    keep_regions: Mapping[str, WrittenRegion]
    passes: Sequence[PassItem]

    @property
    def as_drawn(self) -> bool:
        """Whether its regions and holes are where the drawing has them."""
        return self.said is not None and self.said.seen == "as_drawn"

    def uses(self, tool: str) -> bool:
        """Whether a tool of the job is at hand: all are in the only setup, else those used."""
        if self.said is None:
            return True
        if self.said.tools is not None and tool not in self.said.tools:
            return False
        # where a cutter is still to be chosen, all that are at hand are
        return any(item.given.tool in (tool, AUTO) for item in self.passes)


def sides_of(said: written.Job, place: Place) -> tuple[Side, ...]:
    """The setups in order; what makes no sense among them is reported (E260, E261, E263)."""
    if said.setups is None:
        return (
            Side(
                1,
                1,
                place,
                place,
                None,
                said.machine,
                said.datum,
                said.workholding,
                said.heights,
                said.keep_regions or {},
                said.passes or (),
            ),
        )
    _check_head(said.setups, place)
    return tuple(
        Side(
            number,
            len(said.setups),
            place,
            place / "setups" / (number - 1),
            each,
            said.machine if each.machine is None else each.machine,
            each.datum,
            each.workholding,
            each.heights,
            each.keep_regions,
            each.passes,
        )
        for number, each in enumerate(said.setups, 1)
    )


def _check_head(setups: Sequence[WrittenSetup], place: Place) -> None:
    for key in ("datum", "workholding", "heights"):
        here = place / key
        if here.exists:
            here.report(
                "E263",
                f"`{key}` stands beside `setups`",
                "each setup has its own; write it inside the setup that it is for",
                span=here.key_span,
            )
    for key, straight in (("turned", "none"), ("quarter_turns", 0), ("top", None)):
        if getattr(setups[0], key) != straight:
            (place / "setups" / 0 / key).report(
                "E261",
                f"the first setup can't be turned: `{key}` has nothing to turn from",
                "leave it out; the first setup is as the drawing has it, its top that of `stock`",
            )
    for i, each in enumerate(setups):
        names = [other.name.lower() for other in setups[:i]]
        if each.name.lower() in names:
            at = names.index(each.name.lower())
            (place / "setups" / i / "name").report(
                "E260",
                f"two setups are called `{each.name}`",
                "give each a name of its own: it names the setup's files",
                also=(Label((place / "setups" / at / "name").span, "the first of them"),),
            )


def check_tools(side: Side, tools: Collection[str]) -> None:
    """That passes use what the setup has at hand (E262), where it says so."""
    said = side.said
    if said is None or said.tools is None:
        return
    known = dict.fromkeys(tools)
    for i, name in enumerate(said.tools):
        if name not in known:
            (side.place / "tools" / i).unknown("E201", "tool", name, known, "write it in `tools`")
    for i, item in enumerate(side.passes):
        if item.given.tool in known and item.given.tool not in said.tools:
            (side.place / "passes" / i / item.kind / "tool").report(
                "E262",
                f"`{item.given.tool}` is not at hand in setup `{said.name}`",
                f"use one of its tools, or add it there: {', '.join(said.tools)}",
                also=(Label((side.place / "tools").span, "the tools of this setup"),),
            )


def setup_of(side: Side, stock: Stock, before: Stock | None) -> Setup | None:
    """The setup and its pose; None for a job's only one. `stock` is where the pose starts from."""
    said = side.said
    if said is None:
        return None
    over = OVER[said.turned] if before is not None else "none"
    top = stock.top if said.top is None else float(said.top)
    lift = 0.0
    if before is not None:
        lift = top + (before.bottom if over != "none" else -before.top)
    quarters = said.quarter_turns if before is not None else 0
    return Setup(
        name=said.name,
        number=side.number,
        count=side.count,
        title=said.title or "",
        pose=Pose.of_box(stock.region.bounds, over, quarters, lift),
        breaks_through=said.breaks_through,
        origin=side.place.head_span,
    )


def turned_stock(side: Side, before: Job) -> tuple[Stock, Setup]:
    """The stock of the setup before, as it lies in this one, and how it came to."""
    first = before.stock
    setup = setup_of(side, first, first)
    assert setup is not None
    said = side.said
    top = first.top if said is None or said.top is None else float(said.top)
    return replace(first, region=setup.pose.of(first.region), top=top), setup


def seen_from_above(
    regions: tuple[KeepRegion, ...], passes: tuple[Pass, ...], poses: Sequence[Pose]
) -> tuple[tuple[KeepRegion, ...], tuple[Pass, ...]]:
    """Regions and holes that stand where the drawing has them, as this setup sees them."""
    for pose in poses:
        regions = tuple(_region_seen(region, pose) for region in regions)
        passes = tuple(replace(each, at=tuple(pose.of(p) for p in each.at)) for each in passes)
    return regions, passes


def with_tool_sizes(jobs: Sequence[Job]) -> tuple[Job, ...]:
    """The setups, each told of the smallest cutter that clears in any of them, and the widest."""
    radii = [
        tool.radius
        for job in jobs
        for each in job.passes
        if each.kind in CLEARS
        for tool in _may_cut(job, each)
    ]
    least = min(radii, default=None)
    used = [tool for job in jobs for each in job.passes for tool in _may_cut(job, each)]
    most = max((tool.diameter for tool in used), default=0.0)
    return tuple(
        job
        if job.setup is None
        else replace(job, setup=replace(job.setup, least_radius=least, most_diameter=most))
        for job in jobs
    )


def _may_cut(job: Job, asked: Pass) -> tuple[Tool, ...]:
    """The pass's tool; all that there are to choose from where that is still open."""
    return (*job.tools, *job.crib) if asked.is_open else (job.tool(asked.tool),)


def _region_seen(region: KeepRegion, pose: Pose) -> KeepRegion:
    if not isinstance(region.shape, OpenChain):
        return replace(region, shape=pose.of(region.shape))
    stands = region.shape.stands
    side = OTHER_SIDE[stands] if pose.flips else stands
    chain = OpenChain(chain=pose.of(region.shape.chain), stands=side)  # type: ignore[arg-type]
    return replace(region, shape=chain)
