"""A small job of the scenario for the writer's tests: an eyepiece bracket in 6061."""

from typing import Any

from compiler.diagnostics import Span
from compiler.geometry import Line, Outline, Point, Region
from compiler.job import (
    Datum,
    Heights,
    Job,
    KeepRegion,
    Machine,
    Material,
    Pass,
    ProgramStyle,
    Stock,
    Title,
    Tool,
    Workholding,
)
from compiler.motion import Motions, Move, OperationPath
from compiler.plan.model import Cutting, Level, Operation, OperationList, PlannedTool, SourcePlace

SPAN = Span("bracket.yaml", 1, 1, 1, 2)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Region:
    corners = [Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)]
    sides = [Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    return Region((Outline(tuple(sides)),))


def tool(name: str = "T1", number: int = 1, diameter: float = 12.0) -> Tool:
    return Tool(
        name=name,
        number=number,
        kind="end_mill",
        diameter=diameter,
        flutes=3,
        flute_length=25,
        stickout=35,
        shank_diameter=diameter,
        material="carbide",
        centre_cutting=True,
        helix_angle=0.6,
        length_offset=number,
        diameter_offset=number,
        origin=SPAN,
    )


def job(*, units: str = "mm", tools: tuple[Tool, ...] = (), title: Any = None, **style: Any) -> Job:
    return Job(
        title=title or Title(name="eyepiece-bracket", title="Eyepiece bracket", number="OB-0117"),
        units=units,  # type: ignore[arg-type]
        digest="0123456789abcdef" * 4,
        spec_file="bracket.yaml",
        machine=Machine(
            name="knee_mill",
            max_rpm=8000,
            max_feed=5000,
            rapid=8000,
            program=ProgramStyle(**style),
        ),
        material=Material(
            name="aluminium_6061",
            specific_cutting_force=800,
            cutting_speed={"carbide": 300.0},
            chip_load={"carbide": ((12.0, 0.1),)},
            max_ramp_angle=0.1,
            slot_depth=0.5,
            side_depth=1.0,
        ),
        stock=Stock(region=rectangle(0, 0, 100, 60), top=0, thickness=20, origin=SPAN),
        datum=Datum(at=Point(0, 0), said="stock lower_left"),
        workholding=Workholding(),
        heights=Heights(clearance=5.0, approach=1.3),
        keep_regions=(
            KeepRegion(name="boss", shape=rectangle(30, 20, 70, 40), top=0, origin=SPAN),
        ),
        tools=tools or (tool(),),
        passes=(Pass(kind="rough", name="rough", tool="T1", origin=SPAN),),
    )


def operation(id_: str, tool_name: str = "T1") -> Operation:
    return Operation(
        id=id_,
        kind="rough",
        tool=tool_name,
        levels=(Level(top_mm=0, bottom_mm=-5, standing=("boss",)),),
        wall_allowance_mm=0.3,
        floor_allowance_mm=0.1,
        radial_depth_mm=4,
        direction="climb",
        max_ramp_angle_deg=3,
        cutting=Cutting(
            rpm=6000,
            surface_speed_m_min=226,
            feed_mm_min=900,
            slot_feed_mm_min=450,
            entry_feed_mm_min=300,
            plunge_feed_mm_min=300,
            finish_feed_mm_min=700,
            chip_load_mm=0.05,
        ),
        coolant="flood",
        origin=SourcePlace(file="bracket.yaml", line=1, column=1),
    )


def plan(*operations: Operation, units: str = "mm") -> OperationList:
    return OperationList(
        job="eyepiece-bracket",
        digest="0" * 64,
        units=units,  # type: ignore[arg-type]
        work_offset="G54",
        clearance_mm=5.0,
        approach_mm=1.3,
        tools=(PlannedTool(name="T1", number=1, description="end mill", diameter_mm=12),),
        operations=operations or (operation("rough"),),
    )


def path(
    *moves: Move, operation_id: str = "rough", tool_name: str = "T1", **over: Any
) -> OperationPath:
    given: dict[str, Any] = {"rpm": 6000.0, "coolant": "flood", "stop_before": False, **over}
    return OperationPath(operation=operation_id, tool=tool_name, moves=moves, **given)


def motions(*paths: OperationPath) -> Motions:
    return Motions(paths)
