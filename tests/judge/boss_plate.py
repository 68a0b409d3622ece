"""A plate with one round boss, cut by a program written by hand: the judge's own small world.

Stock 60 x 40 x 12, boss of radius 10 in the middle, cleared to Z -4 by a 10 mm cutter in rings from
the outside in, 3 mm a ring, the last one at the wall. Text and planned motions come from the same
list of moves here, with an emitter of a dozen lines that shares nothing with the project's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from compiler.diagnostics import Outcome, Span
from compiler.geometry import Arc, Line, Outline, Point, Region
from compiler.job.model import (
    Datum,
    Heights,
    Holder,
    Job,
    KeepRegion,
    Machine,
    Material,
    Pass,
    Stock,
    Title,
    Tool,
    Workholding,
)
from compiler.judge.judge import judge
from compiler.judge.model import Obligation, Report
from compiler.motion import Motions, OperationPath, Point3, Rapid, Role, Straight, Turn
from compiler.part.model import Part, Standing
from compiler.plan.model import Cutting, Level, Operation, OperationList, PlannedTool, SourcePlace

SPAN = Span("specs/boss.yaml", 1, 1, 1, 2)
CENTRE = Point(30, 20)
BOSS = 10.0
FLOOR = -4.0
CLEAR = 5.0
FEED = 400.0


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Region:
    p = [Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)]
    return Region((Outline(tuple(Line(p[k], p[(k + 1) % 4]) for k in range(4))),))


def circle(centre: Point, radius: float) -> Region:
    a, b = Point(centre.x + radius, centre.y), Point(centre.x - radius, centre.y)
    return Region((Outline((Arc(a, b, centre, True), Arc(b, a, centre, True))),))


def cutter(number: int = 1, diameter: float = 10.0, **changes: object) -> Tool:
    given: dict[str, object] = {
        "name": f"T{number}",
        "number": number,
        "kind": "end_mill",
        "diameter": diameter,
        "flutes": 3,
        "flute_length": 22.0,
        "stickout": 30.0,
        "shank_diameter": diameter,
        "material": "carbide",
        "centre_cutting": True,
        "helix_angle": math.radians(30),
        "holder": Holder(diameter=30.0, length=50.0),
        "length_offset": number,
        "diameter_offset": number,
        "origin": SPAN,
    }
    return Tool(**{**given, **changes})  # type: ignore[arg-type]


MACHINE = Machine(
    name="bench mill",
    travel=(400.0, 200.0, 300.0),
    max_rpm=6000.0,
    min_rpm=100.0,
    power=1.5,
    peak_torque=12.0,
    max_feed=2000.0,
    rapid=4000.0,
)
MATERIAL = Material(
    name="wrought aluminium",
    iso_group="N",
    specific_cutting_force=800.0,
    cutting_speed={"carbide": 200.0},
    chip_load={"carbide": ((3.0, 0.02), (10.0, 0.06), (20.0, 0.12))},
    max_ramp_angle=math.radians(3.0),
    slot_depth=0.5,
    side_depth=1.5,
)


def make_job(**changes: object) -> Job:
    given: dict[str, object] = {
        "title": Title(name="boss"),
        "units": "mm",
        "digest": "0" * 64,
        "spec_file": "specs/boss.yaml",
        "machine": MACHINE,
        "material": MATERIAL,
        "stock": Stock(region=rectangle(0, 0, 60, 40), top=0.0, thickness=12.0, origin=SPAN),
        "datum": Datum(at=Point(0, 0), said="stock lower_left"),
        "workholding": Workholding(),
        "heights": Heights(clearance=CLEAR, approach=1.3),
        "keep_regions": (
            KeepRegion(name="boss", shape=circle(CENTRE, BOSS), top=0.0, origin=SPAN),
        ),
        "tools": (cutter(),),
        "passes": (Pass(kind="rough", name="clear", tool="T1", to=FLOOR, origin=SPAN),),
    }
    return Job(**{**given, **changes})  # type: ignore[arg-type]


def standing(name: str, region: Region, top: float = 0.0) -> Standing:
    return Standing(
        name=name,
        region=region,
        top=top,
        is_open=False,
        tolerance=None,
        wall_allowance=None,
        floor_allowance=None,
        about="",
        origin=SPAN,
    )


def make_part(**changes: object) -> Part:
    given: dict[str, object] = {
        "stock": rectangle(0, 0, 60, 40),
        "stock_top": 0.0,
        "stock_bottom": -12.0,
        "standing": (standing("boss", circle(CENTRE, BOSS)),),
        "obstacles": (),
        "lowest_cut": -12.0,
        "clearance": CLEAR,
        "approach": 1.3,
        "air": 65.0,
    }
    return Part(**{**given, **changes})  # type: ignore[arg-type]


def make_operation(**changes: object) -> Operation:
    given: dict[str, object] = {
        "id": "clear",
        "kind": "rough",
        "tool": "T1",
        "pattern": "contour_parallel",
        "levels": (Level(top_mm=0.0, bottom_mm=FLOOR, standing=("boss",)),),
        "wall_allowance_mm": 0.0,
        "floor_allowance_mm": 0.0,
        "radial_depth_mm": 3.0,
        "direction": "climb",
        "max_ramp_angle_deg": 3.0,
        "cutting": Cutting(
            rpm=5000.0,
            surface_speed_m_min=157.0,
            feed_mm_min=FEED,
            slot_feed_mm_min=200.0,
            entry_feed_mm_min=100.0,
            plunge_feed_mm_min=100.0,
            finish_feed_mm_min=FEED,
            chip_load_mm=0.03,
        ),
        "coolant": "none",
        "origin": SourcePlace(file="specs/boss.yaml", line=7, column=5),
    }
    return Operation(**{**given, **changes})  # type: ignore[arg-type]


def make_plan(*operations: Operation) -> OperationList:
    return OperationList(
        job="boss",
        digest="0" * 64,
        units="mm",
        work_offset="G54",
        clearance_mm=CLEAR,
        approach_mm=1.3,
        tools=(PlannedTool(name="T1", number=1, description="end mill 10", diameter_mm=10.0),),
        operations=operations or (make_operation(),),
    )


def rings() -> list[Rapid | Straight | Turn]:
    """Down in the air on the right, then ring after ring inwards, then up."""
    radii = [42.0 - 3 * k for k in range(10)]  # 42 to 15, the boss's wall
    moves: list[Rapid | Straight | Turn] = [
        Rapid(Point3(CENTRE.x + radii[0], CENTRE.y, CLEAR)),
        Rapid(Point3(CENTRE.x + radii[0], CENTRE.y, 1.3)),
        Straight(Point3(CENTRE.x + radii[0], CENTRE.y, FLOOR), 100.0, Role.PLUNGE),
    ]
    for radius in radii:
        right = Point3(CENTRE.x + radius, CENTRE.y, FLOOR)
        left = Point3(CENTRE.x - radius, CENTRE.y, FLOOR)
        if radius != radii[0]:
            moves.append(Straight(right, 200.0, Role.LINK))
        moves.append(Turn(left, CENTRE, False, FEED, Role.CUT))
        moves.append(Turn(right, CENTRE, False, FEED, Role.CUT))
    moves.append(Rapid(Point3(CENTRE.x + radii[-1], CENTRE.y, CLEAR)))
    return moves


HEAD = """\
(BOSS PLATE, WRITTEN BY HAND FOR TESTS)
G17 G21 G40 G49 G80 G90 G94
G54
T1 M6
G17 G21 G40 G49 G80 G90 G94
G54
S5000 M3
M9
G0 G43 H1 Z5.000
"""
TAIL = """\
G0 Z5.000
M9
M5
M30
"""


def emit(moves: list[Rapid | Straight | Turn]) -> str:
    """Every word on every line: long, plain, and easy to break on purpose."""
    lines = []
    here: Point3 | None = None
    for move in moves:
        end = f"X{move.to.x:.4f} Y{move.to.y:.4f} Z{move.to.z:.3f}"
        if isinstance(move, Rapid):
            lines.append(f"G0 {end}")
        elif isinstance(move, Straight):
            lines.append(f"G1 {end} F{move.feed:.1f}")
        else:
            assert here is not None
            i, j = move.centre.x - here.x, move.centre.y - here.y
            code = "G3" if move.ccw else "G2"
            lines.append(f"{code} {end} I{i:.4f} J{j:.4f} F{move.feed:.1f}")
        here = move.to
    return "\n".join(lines) + "\n"


@dataclass(frozen=True)
class World:
    """Everything `judge` takes."""

    job: Job
    part: Part
    plan: OperationList
    motions: Motions
    text: str

    @property
    def owners(self) -> list[str | None]:
        """All lines from the head's end to the tail belong to the one operation."""
        count = self.text.count("\n")
        head, tail = HEAD.count("\n"), TAIL.count("\n")
        return [
            self.plan.operations[0].id if head <= k < count - tail else None for k in range(count)
        ]

    def judge(self) -> Outcome[Report]:
        return judge(
            job=self.job,
            part=self.part,
            plan=self.plan,
            motions=self.motions,
            text=self.text,
            line_owner=self.owners,
        )

    def entry(self, name: str) -> Obligation:
        report = self.judge().value
        assert report is not None
        return next(e for e in report.obligations if e.name == name)

    def edited(self, old: str, new: str, count: int = 1) -> World:
        assert old in self.text, old
        return replace(self, text=self.text.replace(old, new, count))


def world(
    moves: list[Rapid | Straight | Turn] | None = None,
    *,
    job: Job | None = None,
    part: Part | None = None,
    plan: OperationList | None = None,
) -> World:
    moves = moves or rings()
    path = OperationPath(
        operation="clear",
        tool="T1",
        rpm=5000.0,
        coolant="none",
        stop_before=False,
        moves=tuple(moves),
    )
    return World(
        job=job or make_job(),
        part=part or make_part(),
        plan=plan or make_plan(),
        motions=Motions((path,)),
        text=HEAD + emit(moves) + TAIL,
    )
