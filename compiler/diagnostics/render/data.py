"""Findings for programs: JSON with a version and a published schema."""

import json
import math
from collections.abc import Mapping
from typing import Any

from compiler.diagnostics.model import Diagnostic, Label, Severity
from compiler.diagnostics.render.bound import MOST, bounded, counts

VERSION = "diagnostics/1"


def render(
    findings: tuple[Diagnostic, ...], sources: Mapping[str, str], *, colour: bool = False
) -> str:
    """The findings as JSON text. `sources` and `colour` have no bearing on it."""
    shown, more = bounded(findings)
    document = {
        "version": VERSION,
        "findings": [_finding(found) for found in shown],
        "omitted": more,
        "counts": {f"{severity.value}s": count for severity, count in counts(findings).items()},
    }
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def schema() -> str:
    """The text of `schemas/diagnostics.schema.json`, JSON Schema draft 2020-12."""
    return json.dumps(_SCHEMA, ensure_ascii=False, indent=2) + "\n"


def _finding(found: Diagnostic) -> dict[str, Any]:
    return {
        "code": found.code,
        "severity": found.severity.value,
        "message": found.message,
        "path": found.path,
        "place": None if found.primary is None else _place(found.primary),
        "secondary": [_place(label) for label in found.secondary],
        "help": found.help,
        "notes": list(found.notes),
        "data": {name: _number(value) for name, value in found.data},
    }


def _number(value: str | float) -> str | float:
    """JSON has no word for infinity; it is then told as text."""
    return value if isinstance(value, str) or math.isfinite(value) else str(value)


def _place(label: Label) -> dict[str, Any]:
    span = label.span
    return {
        "file": span.file,
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
        "label": label.text,
    }


def _object(properties: dict[str, Any], about: str) -> dict[str, Any]:
    """A schema of an object whose keys are all required and all there is."""
    return {
        "type": "object",
        "description": about,
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _said(type_: str, about: str, **more: Any) -> dict[str, Any]:
    return {"type": type_, "description": about, **more}


_CODE = {"type": "string", "pattern": "^[EW][0-9]{3}$"}
_COUNTED_FROM_1 = {"minimum": 1}
_PLACE = _object(
    {
        "file": _said("string", "Path relative to the project's root, forward slashes."),
        "line": _said("integer", "From 1.", **_COUNTED_FROM_1),
        "column": _said("integer", "Characters, from 1.", **_COUNTED_FROM_1),
        "end_line": _said("integer", "From 1.", **_COUNTED_FROM_1),
        "end_column": _said("integer", "From 1, exclusive.", **_COUNTED_FROM_1),
        "label": _said("string", "The few words that belong to the place; may be empty."),
    },
    "A stretch of a source file.",
)
_FINDING = _object(
    {
        "code": {**_CODE, "description": "Told in full by `explain CODE`."},
        "severity": {"enum": [severity.value for severity in Severity]},
        "message": _said("string", "One fact; never the remedy."),
        "path": _said("string", "The key's path in the spec; empty where there is none."),
        "place": {"anyOf": [{"$ref": "#/$defs/place"}, {"type": "null"}]},
        "secondary": {"type": "array", "items": {"$ref": "#/$defs/place"}},
        "help": _said("string", "What to do; may be empty."),
        "notes": {"type": "array", "items": {"type": "string"}},
        "data": {
            "type": "object",
            "description": "The numbers behind the message.",
            "additionalProperties": {"type": ["string", "number"]},
        },
    },
    "One finding.",
)
_COUNTS = _object(
    {f"{severity.value}s": {"type": "integer", "minimum": 0} for severity in Severity},
    "How many of each there are, those left out included.",
)
_SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "$id": "diagnostics.schema.json",
    "title": "Findings of the milling job compiler",
    **_object(
        {
            "version": {"const": VERSION},
            "findings": {"type": "array", "items": {"$ref": "#/$defs/finding"}},
            "omitted": {
                "type": "object",
                "description": f"By code, how many findings beyond the first {MOST} are left out.",
                "propertyNames": _CODE,
                "additionalProperties": {"type": "integer", "minimum": 1},
            },
            "counts": _COUNTS,
        },
        "Everything that one call of a command found.",
    ),
    "$defs": {"place": _PLACE, "finding": _FINDING},
}
