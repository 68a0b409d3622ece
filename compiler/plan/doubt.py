"""What speaks against the author's own figures: speeds, feeds, a long reach. Kept, but said."""

from __future__ import annotations

import math

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.job.model import CoolantKind, CuttingGiven, Job, Pass
from compiler.knowledge.cutting import CuttingData
from compiler.knowledge.given import check_given, check_reach
from compiler.plan.model import Operation
from compiler.plan.refuse import finding


def given(job: Job, asked: Pass, operation: Operation) -> list[Diagnostic]:
    """Findings about the `cutting` values that the author gave for the pass."""
    if asked.cutting == CuttingGiven():
        return []
    worked = operation.cutting
    doubts = check_given(
        tool=job.tool(asked.tool),
        material=job.material,
        machine=job.machine,
        given=asked.cutting,
        data=CuttingData(
            rpm=worked.rpm,
            surface_speed=worked.surface_speed_m_min,
            feed=worked.feed_mm_min,
            slot_feed=worked.slot_feed_mm_min,
            entry_feed=worked.entry_feed_mm_min,
            plunge_feed=worked.plunge_feed_mm_min,
            finish_feed=worked.finish_feed_mm_min,
            chip_load=worked.chip_load_mm,
            reasons=worked.reasons,
        ),
        axial_depth=max(level.top_mm - level.bottom_mm for level in operation.levels),
        radial_depth=operation.radial_depth_mm,
        engagement=None
        if operation.engagement_deg is None
        else math.radians(operation.engagement_deg),
        finish=asked.kind in ("finish_floor", "finish_walls"),
        units=job.units,
    )
    return [
        finding(
            "E410" if each.severity is Severity.ERROR else "W403",
            asked,
            each.message,
            each.help,
            f"cutting.{each.key}",
            "cutting",
            severity=each.severity,
        )
        for each in doubts
    ]


# By the material's name: coolants that bring a danger, and why (DOE-HDBK-1081-94; for titanium
# common practice, no source).
BAD_COOLANT: tuple[tuple[str, tuple[CoolantKind, ...], str, str], ...] = (
    (
        "magnesium",
        ("flood", "mist"),
        "water-mixed coolant gives off hydrogen with magnesium chips, which burn",
        "say `coolant: air` or `none`, or use neutral mineral oil as the makers of machine and "
        "material allow",
    ),
    (
        "titanium",
        ("air", "none"),
        "dry titanium chips get hot and can burn",
        "say `coolant: flood`",
    ),
)


def coolant(job: Job, asked: Pass) -> list[Diagnostic]:
    """A coolant that the author gave and that the material should not have."""
    return [
        finding(
            "W481",
            asked,
            f"coolant `{asked.coolant}` in {job.material.title or job.material.name}: {danger}",
            f"{remedy}; the material's data sheet and the local fire code come first",
            "coolant",
            severity=Severity.WARNING,
        )
        for name, bad, danger, remedy in BAD_COOLANT
        if job.material.name.startswith(name) and asked.coolant in bad
    ]


def reaches(job: Job) -> list[Diagnostic]:
    """Tools in use that stick out further than they cut well."""
    used = {asked.tool for asked in job.passes}
    return [
        Diagnostic(
            code="W404",
            message=f"`{tool.name}`: {each.message}",
            primary=Label(tool.origin),
            severity=each.severity,
            help=each.help,
        )
        for tool in job.tools
        if tool.name in used
        for each in check_reach(tool)
    ]
