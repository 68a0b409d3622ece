"""The published schema is the one that the models give, and a report fits it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from boss_plate import world

from compiler.judge.schema import schema

PUBLISHED = Path(__file__).resolve().parents[2] / "schemas" / "report.schema.json"


def test_published_schema_is_current() -> None:
    assert PUBLISHED.read_text(encoding="utf-8") == schema()


def test_a_report_fits_its_schema() -> None:
    jsonschema = pytest.importorskip("jsonschema")
    report = world().judge().value
    assert report is not None
    described = json.loads(schema())
    jsonschema.Draft202012Validator.check_schema(described)
    jsonschema.validate(json.loads(report.model_dump_json()), described)
