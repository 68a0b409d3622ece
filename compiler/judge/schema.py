"""The reports' published schemas."""

import json

from pydantic import BaseModel

from compiler.judge.model import Report, SetupsReport

TITLE = "Evidence for one milling program"
TITLE_SETUPS = "Evidence for the milling programs of a job of several setups"


def schema() -> str:
    """JSON Schema (draft 2020-12) of `NAME.report.json`, as text with a final line feed."""
    return _text(Report, "report.schema.json", TITLE)


def setups_schema() -> str:
    """That of `NAME.report.json` for a job of several setups."""
    return _text(SetupsReport, "setups-report.schema.json", TITLE_SETUPS)


def _text(model: type[BaseModel], name: str, title: str) -> str:
    described = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": name,
        **model.model_json_schema(),
        "title": title,
    }
    return json.dumps(described, indent=2, sort_keys=True, ensure_ascii=False) + "\n"
