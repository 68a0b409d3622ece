"""Cautions that the sheet gives for what a job holds, and only then."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.job.model import CoolantKind
from compiler.road import lower_job
from compiler.sheet.content import Lines
from compiler.sheet.hazards import hazards
from compiler.sheet.say import Say
from compiler.spec.load import load_job

JOB = """\
spec: job/1
name: saddle
units: mm
machine: {machine}
material: aluminium_6061
stock: {{outline: {{rectangle: {{from: [0, 0], to: [90, 60]}}}}, thickness: 30}}
workholding: {{obstacles: {{clamp: {{rectangle: {{from: [30, {clamp}], size: [20, 6]}}, top: 6}}}}}}
keep_regions: {{rib: {{rectangle: {{from: [20, 20], size: [50, {thick}]}}}}}}
tools: {{T1: {{end_mill: {{diameter: {diameter}, flutes: 3, flute_length: 24, stickout: {stickout}, material: carbide}}}}}}
passes: [{{rough: {{tool: T1, to: -20}}}}]
"""  # noqa: E501
PLAIN = {
    "machine": "machining_centre_medium",
    "clamp": -40,
    "thick": 20,
    "diameter": 12,
    "stickout": 36,
}


def said(folder: Path, **changed: object) -> str:
    path = folder / "job.yaml"
    path.write_text(JOB.format(**{**PLAIN, **changed}), encoding="utf-8")
    loaded = load_job(path, folder).value
    assert loaded is not None
    journey = lower_job(loaded.job)
    assert journey.part is not None and journey.plan is not None, journey.findings
    return " | ".join(hazards(loaded.job, journey.part, journey.plan, (), Say("mm")))


def test_a_plain_job_adds_nothing(tmp_path: Path) -> None:
    assert said(tmp_path) == ""


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"stickout": 54}, "T1 sticks out 4.5 times its diameter"),
        ({"machine": "knee_mill"}, "Tools are changed by hand (T1)"),
        ({"clamp": -14}, "clamp stands up to Z 6 and is 8 mm from the stock"),
        ({"thick": 1.5}, "rib is 1.5 mm thin and stands 20 mm high"),
        ({"diameter": 3, "stickout": 11}, "T1 of 3 mm breaks before one hears it"),
    ],
)
def test_what_the_job_holds_is_said(tmp_path: Path, changed: dict[str, object], words: str) -> None:
    assert words in said(tmp_path, **changed)


def test_what_coolant_does_is_said_where_there_is_some() -> None:
    import bracket

    from compiler.sheet.closing import COOLANT, cautions

    def words(kind: CoolantKind) -> tuple[str, ...]:
        plan = bracket.plan()
        operations = tuple(op.model_copy(update={"coolant": kind}) for op in plan.operations)
        plan = plan.model_copy(update={"operations": operations})
        (lines,) = cautions(
            bracket.job(), bracket.part(), plan, bracket.report(), Say("inch")
        ).parts
        assert isinstance(lines, Lines)
        return lines.items

    kinds: tuple[CoolantKind, ...] = ("flood", "mist", "air", "none")
    assert [COOLANT in words(kind) for kind in kinds] == [True, True, False, False]
    assert len(words("none")) == len(words("flood")) - 1


def test_what_ends_below_the_floor_has_the_cutter_above_it(tmp_path: Path) -> None:
    # the clamp's top is Z 6, the floor Z -20; beside the stock it is told, 1 mm below the floor not
    low = JOB.replace("top: 6", "top: -21")
    for text, is_told in ((JOB, True), (low, False)):
        path = tmp_path / "job.yaml"
        path.write_text(text.format(**{**PLAIN, "clamp": -14}), encoding="utf-8")
        loaded = load_job(path, tmp_path).value
        assert loaded is not None
        journey = lower_job(loaded.job)
        assert journey.part is not None and journey.plan is not None, journey.findings
        words = " | ".join(hazards(loaded.job, journey.part, journey.plan, (), Say("mm")))
        assert ("passes close by" in words) is is_told
