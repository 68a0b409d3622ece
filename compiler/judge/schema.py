"""The report's published schema."""

import json

from compiler.judge.model import Report

TITLE = "Evidence for one milling program"


def schema() -> str:
    """JSON Schema (draft 2020-12) of `NAME.report.json`, as text with a final line feed."""
    described = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "report.schema.json",
        **Report.model_json_schema(),
        "title": TITLE,
    }
    return json.dumps(described, indent=2, sort_keys=True, ensure_ascii=False) + "\n"
