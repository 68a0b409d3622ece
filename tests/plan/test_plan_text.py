"""The operation list as text and as published data."""

from __future__ import annotations

import json

import jsonschema
import pytest
from conftest import ROOT
from planning_bench import Keep, a_pass, bench, block, disc

from compiler.plan.lower import lower
from compiler.plan.model import OperationList
from compiler.plan.schema import schema
from compiler.plan.table import table


@pytest.fixture(scope="module")
def plan() -> OperationList:
    keep = {"boss": disc(30, 35, 12), "lug": Keep(block(60, 20, 85, 50), top=-2.0)}
    passes = [
        a_pass(
            "rough", to=-6.0, pattern="contour_parallel", radial_depth=4.0, axial_depth=4.0, line=21
        ),
        a_pass("finish_floor", pattern="direction_parallel", stop_before=True, line=22),
        a_pass("finish_walls", spring_passes=1, line=23),
    ]
    outcome = lower(*bench(keep, passes))
    assert outcome.value is not None
    return outcome.value


def test_the_table_says_what_is_cut_and_why(plan: OperationList) -> None:
    text = table(plan)
    lines = text.splitlines()
    assert lines[0] == "bracket  3 operations, mm, G54"
    assert lines[4] == "  T1     T1   10 mm end mill, 3 flutes, carbide"
    assert "1  rough: rough with T1, contour_parallel   (bracket.yaml:21)" in lines
    assert "     Z     0.000 to    -1.900   sparing boss" in lines
    assert "     Z    -1.900 to    -2.000   over lug   sparing boss" in lines
    assert "     stop before it" in lines
    assert "     - to -6 mm: the deepest floor before it" in lines
    assert text.endswith("\n") and max(map(len, lines)) < 140


def test_the_table_speaks_inches_for_an_inch_job() -> None:
    passes = [a_pass("rough", to=-6.35, pattern="contour_parallel")]
    outcome = lower(*bench({"boss": disc(30, 35, 12)}, passes, units="inch"))
    assert outcome.value is not None
    text = table(outcome.value)
    assert "Z    0.0000 to   -0.1250" in text or "to   -0.2500" in text
    assert "in/min" in text and " mm" not in text


def test_the_published_schema_is_current() -> None:
    assert (ROOT / "schemas" / "plan.schema.json").read_text(encoding="utf-8") == schema()


def test_the_plan_agrees_with_its_schema_and_survives_json(plan: OperationList) -> None:
    data = json.loads(plan.model_dump_json())
    jsonschema.Draft202012Validator(json.loads(schema())).validate(data)
    assert OperationList.model_validate(data) == plan
