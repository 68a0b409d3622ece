"""The published JSON Schemas (draft 2020-12), generated from the models.

Editors use them for completion, hover text and squiggles; a test holds that they accept exactly
what the models accept. What pydantic generates is tidied here: quantities become shared
definitions, nulls go (a key without a value is an error of its own), generated titles go, and in
jobs and families an expression may stand wherever a single value stands.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from compiler.spec.models import Family, Job, Member, Shop
from compiler.spec.models.scalars import EXPRESSION_PATTERN

DIALECT = "https://json-schema.org/draft/2020-12/schema"
Schema = dict[str, Any]

_ABOUT = ("description", "examples", "default")
# what parameters are must be known before anything is worked out from them
_WITHOUT_EXPRESSIONS = {"Family", "Parameter", "Check"}
_EXPRESSION = {"$ref": "#/$defs/expression"}


def schemas() -> dict[str, str]:
    """Text of each schema of this package, by its file name in `schemas/`."""
    return {
        "job.schema.json": job_schema(),
        "shop.schema.json": shop_schema(),
        "family.schema.json": family_schema(),
    }


@cache
def job_schema() -> str:
    """The schema of job files: whole jobs, and members of a family, which have the key `from`."""
    defs = _definitions([Job, Member], expressions=True)
    body: Schema = {
        "if": {"required": ["from"]},
        "then": {"$ref": "#/$defs/Member"},
        "else": {"$ref": "#/$defs/Job"},
    }
    return _text("job", "A job: what is cut, out of what, on what, with what.", body, defs)


@cache
def shop_schema() -> str:
    """The schema of shop files."""
    defs = _definitions([Shop], expressions=False)
    about = "A shop file: machines, cutters and materials, kept once for all jobs."
    return _text("shop", about, {"$ref": "#/$defs/Shop"}, defs)


@cache
def family_schema() -> str:
    """The schema of family files. The job inside takes its `spec` and `name` from the member."""
    defs = _definitions([Family, Job], expressions=True)
    job = defs["Job"]
    job["required"] = [key for key in job["required"] if key not in ("spec", "name")]
    about = defs["Family"]["properties"]["job"].get("description", "")
    defs["Family"]["properties"]["job"] = {"$ref": "#/$defs/Job", "description": about}
    return _text(
        "family",
        "A family: one job with parameters, for many members.",
        {"$ref": "#/$defs/Family"},
        defs,
    )


def _text(name: str, about: str, body: Schema, defs: Schema) -> str:
    schema = {
        "$schema": DIALECT,
        "$id": f"{name}.schema.json",
        "title": f"{name}/1",
        "description": about,
        **body,
        "$defs": dict(sorted(defs.items())),
    }
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def _definitions(models: list[type[BaseModel]], *, expressions: bool) -> Schema:
    """The definitions of models and of everything in them, tidied."""
    _, generated = models_json_schema([(model, "validation") for model in models])
    shared: Schema = {}
    strict: Schema = {}
    defs = {
        name: _tidy_model(definition, strict, False)
        if name in _WITHOUT_EXPRESSIONS
        else _tidy_model(definition, shared, expressions)
        for name, definition in generated["$defs"].items()
    }
    for definition in defs.values():
        for value in definition["properties"].values():
            _describe(value, defs)
    if expressions:
        shared = {name: _or_expression(definition) for name, definition in shared.items()}
        shared["expression"] = {
            "type": "string",
            "maxLength": 500,
            "pattern": EXPRESSION_PATTERN,
            "description": "Worked out from parameters, as `${ tube / 2 }`.",
        }
        for name in _WITHOUT_EXPRESSIONS & defs.keys():
            _rename(defs[name], {f"#/$defs/{key}": f"#/$defs/plain_{key}" for key in strict})
        strict = {f"plain_{key}": value for key, value in strict.items()}
    return {**defs, **shared, **strict}


def _rename(schema: Any, names: Mapping[str, str]) -> None:
    """Point references elsewhere, in place."""
    for value in schema.values() if isinstance(schema, dict) else schema:
        if isinstance(value, dict | list):
            _rename(value, names)
    if isinstance(schema, dict) and schema.get("$ref") in names:
        schema["$ref"] = names[schema["$ref"]]


def _describe(schema: Schema, defs: Mapping[str, Any]) -> None:
    """Give a key back its hover text, which the library drops where it is the model's own."""
    name = str(schema.get("$ref", "")).removeprefix("#/$defs/")
    if name in defs and "description" not in schema:
        schema["description"] = defs[name]["description"]


def _tidy_model(definition: Schema, shared: Schema, expressions: bool) -> Schema:
    """A model's definition: its properties tidied, the rules about its keys as they are."""
    tidied = {key: value for key, value in definition.items() if key != "title"}
    tidied["properties"] = {
        key: _tidy(value, shared, expressions and key not in ("spec", "override"))
        for key, value in definition.get("properties", {}).items()
    }
    return tidied


def _tidy(schema: Schema, shared: Schema, expressions: bool) -> Schema:
    """One property or part of it."""
    schema = {key: value for key, value in schema.items() if key != "title"}
    if schema.get("default", "") is None:
        del schema["default"]
    name = schema.pop("x-shared", None)
    if name is not None:
        key = str(name).replace(" ", "_").replace("-", "_")
        about: Schema = {k: schema.pop(k) for k in _ABOUT if k in schema}
        shared[key] = schema
        return {"$ref": f"#/$defs/{key}", **about}
    if "anyOf" in schema:
        return _without_null(schema, shared, expressions)
    for key in ("items", "additionalProperties"):
        if isinstance(schema.get(key), dict):
            schema[key] = _tidy(schema[key], shared, expressions)
    for key in ("prefixItems", "oneOf"):
        if key in schema:
            schema[key] = [_tidy(part, shared, expressions) for part in schema[key]]
    if "patternProperties" in schema:
        # left alone, this would let any name pass that the pattern does not fit
        ((pattern, value),) = schema.pop("patternProperties").items()
        schema["propertyNames"] = {"pattern": pattern}
        schema["additionalProperties"] = _tidy(value, shared, expressions)
    return _or_expression(schema) if expressions and _is_single_value(schema) else schema


def _without_null(schema: Schema, shared: Schema, expressions: bool) -> Schema:
    """Alternatives without the null that an optional field brings."""
    about = {key: value for key, value in schema.items() if key != "anyOf"}
    parts = [
        _tidy(part, shared, expressions) for part in schema["anyOf"] if part != {"type": "null"}
    ]
    if len(parts) == 1:
        return {**parts[0], **about}
    return {"anyOf": parts, **about}


def _is_single_value(schema: Mapping[str, Any]) -> bool:
    """Whether a schema is of a single value that an expression is not already."""
    if "enum" in schema or "const" in schema:
        return True
    if schema.get("type") in ("number", "integer", "boolean"):
        return True
    return schema.get("type") == "string" and "pattern" in schema


def _or_expression(schema: Schema) -> Schema:
    """The schema, or an expression in its place."""
    about = {k: v for k, v in schema.items() if k in _ABOUT}
    rest = {k: v for k, v in schema.items() if k not in about}
    parts = rest["anyOf"] if set(rest) == {"anyOf"} else [rest]
    return {"anyOf": [*parts, dict(_EXPRESSION)], **about}
