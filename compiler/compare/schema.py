"""The published JSON Schema of differences: of two jobs, or of two tables of a family."""

import json

from pydantic import TypeAdapter

from compiler.compare.model import Difference, FamilyDifference


def schema() -> str:
    """Text of `schemas/diff.schema.json`."""
    made = TypeAdapter[Difference | FamilyDifference](Difference | FamilyDifference).json_schema()
    described = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "diff.schema.json",
        **made,
        "title": "What changes between two jobs, or between two tables of a family",
    }
    return json.dumps(described, indent=2, sort_keys=True, ensure_ascii=False) + "\n"
