"""The published JSON Schema of a difference."""

import json

from compiler.compare.model import Difference


def schema() -> str:
    """Text of `schemas/diff.schema.json`."""
    generated = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "diff.schema.json",
        **Difference.model_json_schema(),
    }
    return json.dumps(generated, indent=2, ensure_ascii=False) + "\n"
