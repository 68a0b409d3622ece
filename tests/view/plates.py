"""What the page is tested on: an example job, and a program by hand with every kind of move.

The program by hand goes on the example's stock and shares nothing with the project's writer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from conftest import ROOT
from conftest import example as proven

from compiler.job.model import Job, Tool
from compiler.judge.model import Report
from compiler.part.model import Part
from compiler.plan.model import OperationList

SPEC = ROOT / "specs" / "finder-bracket.yaml"

# Ramps and helices down and up, arcs past half a turn, a full circle, oblique lines, a cut through
# the stock, and the same with ends that are not flat. X Y on a stock of 101.6 x 63.5, 19.05 thick.
EVERY_MOVE = """\
G17 G21 G40 G49 G80 G90 G94
G54
T1 M6
S3000 M3
G0 G43 H1 Z10
G0 X-8 Y10
G1 Z-2 F300
G1 X30.5 Y17.25
G1 X40 Y30 Z-3.5
G1 X25 Y41 Z-3.5
G1 X20 Y36 Z-1
G0 Z10
G0 X70 Y30
G1 Z0.5
G3 X62 Y30 Z-0.6 I-4 J0
G3 X70 Y30 Z-2 I4 J0
G3 X70 Y30 Z-2 I-4 J0
G2 X64 Y24 Z-2.7 I0 J-6
G1 X64 Y24 Z1
G0 Z10
G0 X95 Y55
G1 Z-20
G1 X110 Y70
G0 Z10
T2 M6
S4000 M3
G0 G43 H2 Z10
G0 X10 Y55
G1 Z-1.5
G1 X60 Y52
G2 X75 Y37 Z-3 I0 J-15
G1 X80 Y20 Z-1.2
G0 Z10
T3 M6
S5000 M3
G0 G43 H3 Z10
G0 X12 Y30
G1 Z-2
G1 X25 Y8 Z-4
G3 X31 Y2 I6 J0
G0 Z10
G4 P2.5
T4 M6
S6000 M3
G0 G43 H4 Z10
G0 X85 Y8
G1 Z-3
G1 X98 Y12 Z-1
G0 Z10
T5 M6
S2000 M3
G0 G43 H5 Z10
G0 X90 Y30
G1 Z-9 F100
G0 Z10
M5
M30
"""


@dataclass(frozen=True)
class Played:
    """What `page` takes."""

    job: Job
    part: Part
    plan: OperationList
    report: Report
    text: str
    owners: tuple[str | None, ...]

    def arguments(self) -> tuple[Any, ...]:
        return (self.job, self.part, self.plan, self.report, self.text, self.owners)


@cache
def example() -> Played:
    """The finder bracket, proven."""
    journey = proven("finder-bracket")
    assert journey.loaded and journey.part and journey.plan, journey.findings
    assert journey.report and journey.written, journey.findings
    return Played(
        job=journey.loaded.job,
        part=journey.part,
        plan=journey.plan,
        report=journey.report,
        text=journey.written.text,
        owners=tuple(journey.written.line_owner),
    )


def every_move() -> Played:
    """The example's stock under the program by hand, with a tool of each shape."""
    made = example()
    flat = replace(made.job.tools[0], number=1, diameter=9.7, holder=None)

    def tool(number: int, **changes: Any) -> Tool:
        return replace(flat, name=f"T{number}", number=number, length_offset=number, **changes)

    tools = (
        replace(flat, name="T1"),
        tool(2, kind="bull_mill", diameter=8.3, corner_radius=1.5),
        tool(3, kind="ball_mill", diameter=6.1),
        tool(4, kind="chamfer_mill", diameter=7.9, tip_angle=math.pi / 2, tip_diameter=0.6),
        tool(5, kind="drill", diameter=5.2, tip_angle=math.radians(118)),
    )
    return replace(
        made,
        job=replace(made.job, tools=tools),
        text=EVERY_MOVE,
        owners=(None,) * EVERY_MOVE.count("\n"),
    )
