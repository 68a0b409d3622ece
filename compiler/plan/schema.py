"""The published JSON Schema of the operation list."""

from __future__ import annotations

import json

from compiler.plan.model import OperationList


def schema() -> str:
    """`schemas/plan.schema.json` as text: draft 2020-12, keys sorted, one final newline."""
    found = OperationList.model_json_schema(mode="serialization")
    whole = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "plan.schema.json",
        **found,
        "title": "Operation list",
    }
    return json.dumps(whole, indent=2, sort_keys=True, ensure_ascii=False) + "\n"
