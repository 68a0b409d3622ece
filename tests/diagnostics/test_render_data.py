"""Findings as JSON: against the published schema, with a validator that is not ours."""

import json
import math

import jsonschema
import pytest
from conftest import ROOT
from findings import SOURCES, label

from compiler.diagnostics import Diagnostic, Severity
from compiler.diagnostics.render.data import render, schema

FOUND = Diagnostic(
    code="E406",
    message="no cutter fits the gap — 鏡",
    primary=label(6, 19, 21, "this one"),
    path="passes[0]",
    secondary=(label(2, 1, 6),),
    help="take `T2`",
    notes=("a note",),
    data=(("gap_mm", 3.25), ("cutter", "T2")),
)
NOWHERE = Diagnostic(code="W401", message="odd", severity=Severity.WARNING)


def validator() -> jsonschema.Draft202012Validator:
    document = json.loads(schema())
    jsonschema.Draft202012Validator.check_schema(document)
    return jsonschema.Draft202012Validator(document)


def test_every_fact_is_there() -> None:
    document = json.loads(render((FOUND, NOWHERE), SOURCES))
    validator().validate(document)
    assert document["version"] == "diagnostics/1"
    assert document["counts"] == {"errors": 1, "warnings": 1, "notes": 0}
    first, second = document["findings"]
    assert first["place"] == {
        "file": "specs/bracket.yaml",
        "line": 6,
        "column": 19,
        "end_line": 6,
        "end_column": 21,
        "label": "this one",
    }
    assert first["data"] == {"gap_mm": 3.25, "cutter": "T2"}
    assert first["secondary"][0]["line"] == 2
    assert second["place"] is None and second["severity"] == "warning"


def test_nothing_found_is_still_a_document() -> None:
    document = json.loads(render((), {}))
    validator().validate(document)
    assert document["findings"] == []


def test_many_of_one_code() -> None:
    document = json.loads(render((FOUND,) * 25 + (NOWHERE,), {}))
    validator().validate(document)
    assert len(document["findings"]) == 21
    assert document["omitted"] == {"E406": 5}
    assert document["counts"]["errors"] == 25


def test_infinity_is_told_as_text() -> None:
    endless = Diagnostic(code="E101", message="odd", data=(("gap_mm", math.inf),))
    document = json.loads(render((endless,), {}), parse_constant=pytest.fail)
    validator().validate(document)
    assert document["findings"][0]["data"] == {"gap_mm": "inf"}


@pytest.mark.parametrize(
    "broken",
    [
        {"version": "diagnostics/2"},
        {"findings": [{"code": "E101"}]},
        {"omitted": {"E101": 0}},
        {"surplus": 1},
    ],
)
def test_the_schema_refuses_what_is_not_a_document(broken: dict[str, object]) -> None:
    document = json.loads(render((FOUND,), {}))
    assert not validator().is_valid({**document, **broken})


def test_the_published_schema_is_current() -> None:
    published = (ROOT / "schemas" / "diagnostics.schema.json").read_text(encoding="utf-8")
    assert published == schema()
