"""What to propose where a drawing or a model does not say: stock, depth, machine, cutters.

Plans come best first; which of them holds is for the proof to say.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from compiler.geometry import Region
from compiler.knowledge.machines import MACHINES
from compiler.spec.shop import ShopFile
from compiler.survey.choose import pairs, plain_sizes
from compiler.survey.drills import drilled
from compiler.survey.holes import closed_for_mills
from compiler.survey.model import CutterRow, ShapeRow, Survey, standing_shapes
from compiler.survey.outlines import is_box
from compiler.survey.proposal import Pattern, Plan
from compiler.survey.rails import open_lines, sides_alongside, stock_round
from compiler.units.number import Units, length

MATERIAL = "aluminium_6061"
MACHINE = "knee_mill"
# common practice, no source: proposals where nothing says better, in mm
MARGIN = {"mm": 3.0, "inch": 3.175}
THICKNESS = {"mm": 12.0, "inch": 12.7}
HELD = {"mm": 4.0, "inch": 3.175}  # stock below a part that is cut to its underside
MOST_PAIRS = 4  # of cutters that are tried
ROOM = 40.0  # mm of travel beyond the stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the user says; None leaves it to us. Lengths in mm.

    Attributes:
        name, file, shop: The job's name; the drawing and the shop file, relative to the job.
        in_units: `units` of a drawing that does not say its own.
    """

    name: str
    file: str
    shop: str
    machine: str | None = None
    material: str | None = None
    thickness: float | None = None
    depth: float | None = None
    margin: float | None = None
    floor: float | None = None
    in_units: Units | None = None
    up: str = "z"
    join_gap: float | None = None

    @property
    def said(self) -> frozenset[str]:
        """What need not be checked."""
        keys = ("machine", "material", "thickness", "depth")
        return frozenset(key for key in keys if getattr(self, key) is not None)


def for_mills(survey: Survey, wishes: Wishes) -> Survey:
    """The survey with the openings closed that no cutter gets into."""
    _, floor = heights(survey, wishes)
    cutters, _ = _cutters(survey, -floor)
    return closed_for_mills(survey, cutters, -floor, survey.show)


def plans(survey: Survey, shop: ShopFile | None, wishes: Wishes) -> Iterator[Plan]:
    """Plans worth trying, best first; none where nothing stands."""
    units = survey.show
    thickness, floor = heights(survey, wishes)
    drawn = survey.blank
    blank = None if drawn is None else Region(drawn.region.outlines[:1])
    lines, box = open_lines(survey.runs, standing_shapes(survey), blank, units)
    if survey.kind == "model":
        box = survey.box
    if box is None:
        return
    cutters, own = _cutters(survey, -floor)
    margin = MARGIN[units] if drawn is None else 0.0
    margin = margin if wishes.margin is None else wishes.margin
    ends = [side for line in lines for side in line.leaves]
    along = sides_alongside(lines, box) if drawn is None else ()
    stock = stock_round(box, ends, margin, along, MARGIN[units])
    x0, y0, x1, y1 = stock
    machine, why = _machine(shop, x1 - x0, y1 - y0, units)
    for rough, rest in pairs(survey, cutters, -floor, units)[:MOST_PAIRS]:
        yield Plan(
            name=wishes.name,
            file=wishes.file,
            units=units,
            shop=wishes.shop,
            machine=wishes.machine or machine,
            machine_why=why,
            material=wishes.material or MATERIAL,
            margin=margin,
            box=box,
            stock=stock,
            blank=drawn
            if drawn is not None and margin == 0.0 and _can_be_named(drawn, survey)
            else None,
            drilled=drilled(survey, thickness, floor),
            lines=lines,
            thickness=thickness,
            floor=floor,
            rough=rough,
            rest=rest,
            in_units=wishes.in_units,
            up=wishes.up,
            join_gap=wishes.join_gap,
            from_crib=own,
            crib_falls_short=not own and bool(survey.cutters),
            said=wishes.said,
        )


def _can_be_named(drawn: ShapeRow, survey: Survey) -> bool:
    """Whether the blank is to be taken from the drawing: a rectangle is written out, and other
    loops on its layers would be taken for holes in it."""
    alone = not any(set(r.layers) & set(drawn.layers) for r in survey.shapes if r is not drawn)
    return alone and not is_box(drawn.region.outlines[0])


def gentler(plan: Plan) -> Plan | None:
    """The same plan with cuts of one load, for narrow places; None where it has them already."""
    calm: Pattern = "constant_engagement"
    if plan.patterns == (calm, calm):
        return None
    return replace(plan, patterns=(calm, calm))


def heights(survey: Survey, wishes: Wishes) -> tuple[float, float]:
    """Thickness of the stock, and the Z of the floor, mm."""
    units = survey.show
    if survey.height is None:
        thickness = wishes.thickness or THICKNESS[units]
        return thickness, -(wishes.depth or thickness / 2)
    low, high = survey.height
    tall = high - low
    if wishes.depth is not None:
        floor = -wishes.depth
    elif wishes.floor is not None:
        floor = wishes.floor
    else:
        ups = [row.z for row in survey.levels if row.facing == "up" and row.z < high - 1e-3]
        floor = min(ups, default=low)
    through = floor <= low + 1e-3
    return wishes.thickness or tall + (HELD[units] if through else 0.0), floor


def _cutters(survey: Survey, depth: float) -> tuple[tuple[CutterRow, ...], bool]:
    """The crib's cutters, and True; plain ones where none of it reaches, and False."""
    if any(cutter.reach >= depth for cutter in survey.cutters):
        return survey.cutters, True
    return plain_sizes(survey.show, depth), False


def _machine(shop: ShopFile | None, wide: float, deep: float, units: Units) -> tuple[str, str]:
    """The first machine of the shop whose table the stock fits on, else a built-in one; and why."""
    need = (wide + ROOM, deep + ROOM)
    own = shop.machines if shop is not None else {}
    room = f"{length(need[0], units)} x {length(need[1], units)}, the stock and room round it"
    for name, machine in own.items():
        axes = machine.axes
        if axes is None:
            return name, "the shop's first whose travel is not said to be less than the stock takes"
        if float(axes.x) >= need[0] and float(axes.y) >= need[1]:
            return name, f"the shop's first whose travel takes {room}"
    for name, built_in in MACHINES.items():
        travel = built_in.travel
        if travel is None or (travel[0] >= need[0] and travel[1] >= need[1]):
            others = ", ".join(other for other in MACHINES if other != name)
            return name, f"the smallest built-in one that takes {room}; the others are {others}"
    return next(iter(own), MACHINE), f"none takes {room}"
