"""The eyepiece bracket, whole: job, part, plan, motions and report, for the sheet and pictures."""

import math
from typing import Any

from compiler.diagnostics import Span
from compiler.geometry import Point, Region, build
from compiler.job import (
    Datum,
    Heights,
    Holder,
    Inspection,
    Job,
    KeepRegion,
    Machine,
    Material,
    Obstacle,
    Pass,
    Stock,
    Title,
    Tool,
    Workholding,
)
from compiler.judge.model import Leftover, Obligation, OperationFacts, Report
from compiler.motion import Motions, OperationPath, Point3, Rapid, Role, Straight, Turn
from compiler.part.model import Blocked, Part, Standing
from compiler.plan.model import Cutting, Level, Operation, OperationList, PlannedTool, SourcePlace


def circle(centre: Point, radius: float) -> Region:
    return Region((build.circle(centre, radius),))


def rectangle(low: Point, high: Point, corner_radius: float = 0.0) -> Region:
    return Region((build.rectangle(low, high, corner_radius),))


SPAN = Span("specs/eyepiece-bracket.yaml", 1, 1, 1, 2)
IN = 25.4
NAMES = {"boss": 0.0, "lug": -0.1 * IN, "rail": 0.0}


def shapes() -> dict[str, Region]:
    return {
        "boss": circle(Point(1.9 * IN, 2.6 * IN), 0.9 * IN),
        "lug": rectangle(Point(3.6 * IN, 1.2 * IN), Point(5.2 * IN, 2.8 * IN), 0.2 * IN),
        "rail": rectangle(Point(6.3 * IN, -50.0), Point(7 * IN + 50, 5 * IN + 50)),
    }


def tool(name: str, number: int, diameter: float, **over: Any) -> Tool:
    given: dict[str, Any] = {
        "kind": "end_mill",
        "flutes": 3,
        "flute_length": 0.75 * IN,
        "stickout": 1.25 * IN,
        "shank_diameter": diameter,
        "material": "carbide",
        "centre_cutting": True,
        "helix_angle": math.radians(35),
        "holder": Holder(diameter=1.5 * IN, length=2 * IN),
        **over,
    }
    return Tool(
        name=name,
        number=number,
        diameter=diameter,
        length_offset=number,
        diameter_offset=number,
        origin=SPAN,
        **given,
    )


TOOLS = (
    tool("T1", 1, 0.5 * IN, crib="em_500_3fl"),
    tool("T2", 2, 0.25 * IN, kind="bull_mill", corner_radius=0.5, shank_diameter=0.375 * IN),
    tool("T3", 3, 0.375 * IN, kind="drill", tip_angle=math.radians(118), holder=None),
)


def job(title: Title | None = None, units: str = "inch", about: str = "") -> Job:
    keep = tuple(
        KeepRegion(
            name=name,
            shape=shape,
            top=NAMES[name],
            tolerance=0.002 * IN if name == "boss" else None,
            about="Seat of the draw tube" if name == "boss" else about,
            origin=SPAN,
        )
        for name, shape in shapes().items()
    )
    return Job(
        title=title
        or Title(
            name="eyepiece-bracket",
            title="Eyepiece bracket",
            number="OB-0117",
            revision="B",
            notes=("Deburr all edges before anodising",),
        ),
        units=units,  # type: ignore[arg-type]
        digest="8c1f00d5a2b34e77" * 4,
        spec_file="specs/eyepiece-bracket.yaml",
        machine=Machine(name="knee_mill", max_rpm=4200, max_feed=2500, rapid=2500),
        material=Material(
            name="aluminium_6061",
            title="Aluminium 6061-T6",
            hardness="95 HB",
            specific_cutting_force=800,
            cutting_speed={"carbide": 300.0},
            chip_load={"carbide": ((12.0, 0.1),)},
            max_ramp_angle=0.1,
            slot_depth=0.5,
            side_depth=1.0,
            cautions=("Aluminium chips weld to a dull cutter: flood or air.",),
        ),
        stock=Stock(
            region=rectangle(Point(0, 0), Point(7 * IN, 5 * IN)),
            top=0,
            thickness=IN,
            origin=SPAN,
        ),
        datum=Datum(
            at=Point(0, 0),
            said="stock lower_left",
            found_by="Edge finder on the left and front faces, Z on the upper face",
        ),
        workholding=Workholding(
            method="Vise, 0.4 in in the jaws",
            lowest_cut=-0.55 * IN,
            obstacles=tuple(
                Obstacle(name=b.name, region=b.region, top=b.top, origin=SPAN) for b in jaws()
            ),
        ),
        heights=Heights(clearance=0.1 * IN, approach=0.05 * IN),
        keep_regions=keep,
        tools=TOOLS,
        passes=(Pass(kind="rough", name="rough", tool="T1", origin=SPAN),),
        inspection=(
            Inspection(
                what="Boss diameter",
                nominal=1.8 * IN,
                plus=0.002 * IN,
                minus=0.002 * IN,
                gauge="micrometer",
            ),
        ),
    )


def jaws() -> tuple[Blocked, ...]:
    return tuple(
        Blocked(
            name=name,
            region=rectangle(Point(x * IN, 0), Point((x + 1) * IN, 5 * IN)),
            top=-0.6 * IN,
            origin=SPAN,
        )
        for name, x in (("left jaw", -1), ("right jaw", 7))
    )


def part() -> Part:
    return Part(
        stock=rectangle(Point(0, 0), Point(7 * IN, 5 * IN)),
        stock_top=0.0,
        stock_bottom=-IN,
        standing=tuple(
            Standing(
                name=name,
                region=shape,
                top=NAMES[name],
                is_open=name == "rail",
                tolerance=0.002 * IN if name == "boss" else None,
                wall_allowance=None,
                floor_allowance=None,
                about="Seat of the draw tube" if name == "boss" else "",
                origin=SPAN,
            )
            for name, shape in shapes().items()
        ),
        obstacles=jaws(),
        lowest_cut=-0.55 * IN,
        clearance=0.1 * IN,
        approach=0.05 * IN,
        air=50.0,
    )


def operation(id_: str, kind: str, tool_name: str, **over: Any) -> Operation:
    given: dict[str, Any] = {
        "pattern": "contour_parallel",
        "levels": (
            Level(top_mm=0, bottom_mm=-0.25 * IN, standing=tuple(NAMES)),
            Level(top_mm=-0.25 * IN, bottom_mm=-0.5 * IN, standing=tuple(NAMES)),
        ),
        "wall_allowance_mm": 0.254,
        "floor_allowance_mm": 0.127,
        "radial_depth_mm": 5.08,
        "direction": "climb",
        "max_ramp_angle_deg": 3,
        "coolant": "flood",
        "reasons": ("axial depth 0.25 in: two even levels to -0.5",),
        **over,
    }
    return Operation(
        id=id_,
        kind=kind,  # type: ignore[arg-type]
        tool=tool_name,
        cutting=Cutting(
            rpm=4200,
            surface_speed_m_min=167,
            feed_mm_min=1234,
            slot_feed_mm_min=617,
            entry_feed_mm_min=400,
            plunge_feed_mm_min=400,
            finish_feed_mm_min=811,
            chip_load_mm=0.098,
            reasons=("4200 rpm: the spindle's greatest; the material would bear 7500",),
        ),
        origin=SourcePlace(file="specs/eyepiece-bracket.yaml", line=60, column=5),
        **given,
    )


def plan(units: str = "inch") -> OperationList:
    return OperationList(
        job="eyepiece-bracket",
        number="OB-0117",
        revision="B",
        digest="8c1f00d5a2b34e77" * 4,
        units=units,  # type: ignore[arg-type]
        work_offset="G54",
        clearance_mm=0.1 * IN,
        approach_mm=0.05 * IN,
        tools=tuple(
            PlannedTool(name=t.name, number=t.number, description=t.kind, diameter_mm=t.diameter)
            for t in TOOLS
        ),
        operations=(
            operation("rough", "rough", "T1"),
            operation("corners", "rest", "T2", stop_before=True, about="measure the boss"),
            operation("finish walls", "finish_walls", "T1", pattern=None, wall_allowance_mm=0.0),
            operation("holes", "drill", "T3", pattern=None),
        ),
    )


def motions() -> Motions:
    """Some rings round the boss with each tool: enough to be drawn."""
    paths = []
    centre = Point(1.9 * IN, 2.6 * IN)
    for op in plan().operations:
        radius = next(t for t in TOOLS if t.name == op.tool).radius
        wall = 0.9 * IN + radius
        first = Point3(centre.x + wall + 12, centre.y, 2.54)
        moves: list[Any] = [
            Rapid(Point3(-20, -10, 2.54)),
            Rapid(first),
            Straight(Point3(first.x, first.y, -6.0), 400, Role.RAMP),
            Turn(Point3(first.x, first.y, -12.0), Point(first.x + 3, first.y), True, 4, Role.RAMP),
        ]
        for off in (12, 8, 4, 0):
            moves.append(Straight(Point3(centre.x + wall + off, centre.y, -12), 900, Role.LINK))
            at = Point3(centre.x + wall + off, centre.y, -12)
            moves.append(Turn(at, centre, False, 1234, Role.CUT))
        moves.append(
            Turn(Point3(at.x + 4, at.y - 4, -12), Point(at.x + 4, at.y), True, 9, Role.LEAD)
        )
        moves.append(Rapid(Point3(at.x + 4, at.y - 4, 2.54)))
        moves.append(Rapid(Point3(140, 60, 2.54)))
        paths.append(
            OperationPath(
                operation=op.id,
                tool=op.tool,
                rpm=4200,
                coolant="flood",
                stop_before=op.stop_before,
                moves=tuple(moves),
            )
        )
    return Motions(tuple(paths))


OBLIGATIONS = (
    ("regions_stand", "nearest to boss, at the wall", 0.0012, -0.0025, 0.0037, "mm"),
    ("floor_kept", "lowest point of any tool", -12.7, -13.97, 1.27, "mm"),
    ("rapids_clear", "no rapid touches anything", None, None, None, ""),
    ("entries_safe", "12 first contacts, all from air", None, None, None, ""),
    ("engagement_held", "no pattern with a promise; peak 96 deg", 96.2, None, None, "deg"),
    ("load_held", "power at the deepest cut", 0.71, 2.2, 1.49, "kW"),
    ("holder_clear", "holder above the stock", 3.1, 0.5, 2.6, "mm"),
    ("machine_fits", "travels not given: not checked; feeds and speeds fit", None, None, None, ""),
    ("nothing_left", "two places, named below", None, None, None, ""),
    ("program_sane", "spindle, tool and offset before each first move", None, None, None, ""),
    ("text_true", "largest difference from the plan", 0.00049, 0.0005, 0.00001, "mm"),
)


def report(broken: str = "") -> Report:
    return Report(
        job="eyepiece-bracket",
        revision="B",
        job_digest="8c1f00d5a2b34e77" * 4,
        program_digest="5be1ab1e" * 8,
        tool_version="0.1.0",
        resolution_mm=0.127,
        obligations=tuple(
            Obligation(
                name=name,  # type: ignore[arg-type]
                held=name != broken,
                what=what,
                measured=measured,
                allowed=allowed,
                margin=margin,
                unit=unit,
                remedy="use a smaller cutter" if name == broken else "",
            )
            for name, what, measured, allowed, margin, unit in OBLIGATIONS
        ),
        leftovers=(
            Leftover(x_mm=119.4, y_mm=99.1, area_mm2=3.21, depth_mm=12.7, reaching_diameter_mm=9.0),
            Leftover(x_mm=121.0, y_mm=12.1, area_mm2=0.4, depth_mm=2.0),
        ),
        operations=tuple(
            OperationFacts(
                operation=op.id,
                tool=op.tool,
                first_line=31 + 200 * index,
                last_line=230 + 200 * index,
                time_s=245.0 + index,
                cut_length_mm=5000,
                rapid_length_mm=400,
                lifts=2,
                removed_mm3=100000,
                lowest_z_mm=-12.7,
            )
            for index, op in enumerate(plan().operations)
        ),
        time_s=1187.0,
        blocks=812,
        removed_mm3=188000.0,
    )
