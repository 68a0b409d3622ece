"""The reference of the language as Markdown, made from the schemas: every key, what it takes, why.

One section a kind of mapping, in the order in which a reader of a job comes upon them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from compiler.knowledge.machines import MACHINES
from compiler.knowledge.materials import MATERIALS
from compiler.spec.schema import family_schema, job_schema, shop_schema
from compiler.units.number import short

Schema = Mapping[str, Any]
Definitions = Mapping[str, Schema]

HEAD = """\
# The language of job, shop and family files

Made from the schemas beside this file by `standproud schema --write`; the same texts are shown by
an editor that knows the schemas. Keys in **bold** are required. Where a *length* stands, a bare
number is in the file's `units`, and text carries its own: `6 mm`, `0.25 in`, `5/8`, `1-1/4 in`,
`10 thou`. Angles are degrees. In a job with `parameters` and in a family an expression as
`${ tube / 2 }` may stand for any single value.
"""

# how a reader calls what the schemas share by these names
WORDS = {
    "angle": "angle",
    "length": "length",
    "name": "name",
    "pointer": "name of one",
    "non_negative_length": "length, not negative",
    "non_negative_time": "time, as `4 s`",
    "positive_acceleration": "acceleration, as `500 mm/s2`",
    "positive_angle_below_180_degrees": "angle above 0, below 180 degrees",
    "positive_angle_below_90_degrees": "angle above 0, below 90 degrees",
    "positive_feed": "feed, as `30`, `30 in/min`, `800 mm/min`",
    "positive_length": "length above 0",
    "positive_length_or_percentage": "length above 0, or `40%` of the diameter",
    "positive_power": "power, as `1.5 kW`, `2 hp`",
    "positive_specific_cutting_force": "force on area, as `800 N/mm2`",
    "positive_surface_speed": "surface speed, as `400 ft/min`, `120 m/min`",
    "positive_torque": "torque, as `12 Nm`",
    "positive_unit_power": "power for a rate of removal, as `0.3 hp/(in3/min)`",
    "spindle_speed": "rev/min",
}
PLAIN = "plain_"  # how shared values without expressions are called


@cache
def reference() -> str:
    """The whole reference."""
    parts = [HEAD]
    told: set[str] = set()
    for title, text, root in (
        ("A job file", job_schema(), "Job"),
        ("A member of a family", job_schema(), "Member"),
        ("A shop file", shop_schema(), "Shop"),
        ("A family file", family_schema(), "Family"),
    ):
        definitions = json.loads(text)["$defs"]
        parts.append(f"\n# {title}\n")
        for name in _in_order(root, definitions):
            if name not in told:
                told.add(name)
                parts.append(_section(name, definitions))
    return "\n".join([*parts, *_built_in()])


def _built_in() -> Iterator[str]:
    """What a job may name without a shop file."""
    yield "\n# Built in\n"
    yield "## Machines\n"
    yield "Kinds of machine with careful figures, for `machine`; a shop's own say more.\n"
    yield "| name | travel, mm | rev/min | power, kW | feed, rapid, mm/min | tools |"
    yield "|---|---|---|---|---|---|"
    for name, machine in MACHINES.items():
        travel = " x ".join(short(length, 3) for length in machine.travel or ())
        power = "" if machine.power is None else short(machine.power, 3)
        yield (
            f"| `{name}` | {travel} | {short(machine.min_rpm, 0)} to {short(machine.max_rpm, 0)} "
            f"| {power} | {short(machine.max_feed, 0)}, {short(machine.rapid, 0)} "
            f"| {machine.tool_change} |"
        )
    yield "\n## Materials\n"
    yield "For `material`.\n"
    yield "| name | is |"
    yield "|---|---|"
    yield from (f"| `{name}` | {material.title} |" for name, material in MATERIALS.items())
    yield ""


def _in_order(root: str, definitions: Definitions) -> Iterator[str]:
    """The mappings that can be reached from one, each after the first that names it."""
    ahead, seen = [root], {root}
    while ahead:
        name = ahead.pop(0)
        yield name
        inner = _named(definitions[name].get("properties", {}))
        fresh = [each for each in dict.fromkeys(inner) if each not in seen]
        fresh = [each for each in fresh if "properties" in definitions[each]]
        seen.update(fresh)
        ahead = fresh + ahead


def _named(schema: Any) -> Iterator[str]:
    """Every definition that a part of a schema refers to."""
    if isinstance(schema, Mapping):
        if "$ref" in schema:
            yield str(schema["$ref"]).removeprefix("#/$defs/")
        for key, value in schema.items():
            if key not in ("examples", "default"):
                yield from _named(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from _named(value)


def _section(name: str, definitions: Definitions) -> str:
    schema = definitions[name]
    lines = [f"## {name}", "", str(schema.get("description", "")), ""]
    lines += [f"{rule}\n" for rule in _rules(schema)]
    lines += ["| key | takes | is |", "|---|---|---|"]
    required = set(schema.get("required", ()))
    for key, value in schema["properties"].items():
        said = f"**`{key}`**" if key in required else f"`{key}`"
        lines.append(f"| {said} | {_takes(value, definitions)} | {_says(value)} |")
    return "\n".join([*lines, ""])


def _rules(schema: Schema) -> Iterator[str]:
    """Which keys go together and which do not."""
    sets = schema.get("oneOf", ())
    if sets:
        groups = [" and ".join(f"`{key}`" for key in each.get("required", ())) for each in sets]
        groups = [group for group in groups if group]
        some = "" if len(groups) == len(sets) else " or none"
        yield f"Exactly one of {', '.join(groups)}{some}."
    for each in schema.get("not", {}).get("anyOf", ()):
        yield "Not together: " + ", ".join(f"`{key}`" for key in each.get("required", ())) + "."


def _says(schema: Schema) -> str:
    said = str(schema.get("description", "")).replace("|", "\\|").replace("\n", " ")
    examples = schema.get("examples", ())
    if examples:
        shown = json.dumps(examples[0], ensure_ascii=False).strip('"').replace('"', "")
        said += f" For example `{shown}`."
    return said


def _takes(schema: Schema, definitions: Definitions) -> str:
    """What may stand for a value, in words."""
    if "$ref" in schema:
        return _called(str(schema["$ref"]).removeprefix("#/$defs/"), definitions)
    if "const" in schema:
        return f"`{schema['const']}`"
    if "enum" in schema:
        return ", ".join(f"`{_plain(each)}`" for each in schema["enum"])
    for key in ("anyOf", "oneOf"):
        if key in schema:
            parts = [_takes(part, definitions) for part in schema[key] if not _is_expression(part)]
            return " or ".join(dict.fromkeys(parts))
    match schema.get("type"):
        case "array":
            return _list(schema, definitions)
        case "object":
            inner = schema.get("additionalProperties")
            return (
                f"name: {_takes(inner, definitions)}" if isinstance(inner, Mapping) else "mapping"
            )
        case "integer" | "number":
            return _number(schema)
        case "boolean":
            return "`true`, `false`"
        case "string":
            return "text"
        case _:
            return "any value"


def _is_expression(schema: Schema) -> bool:
    return str(schema.get("$ref", "")).endswith("expression")


def _called(name: str, definitions: Definitions) -> str:
    plain = name.removeprefix(PLAIN)
    if plain in WORDS:
        return WORDS[plain]
    if "properties" in definitions.get(name, {}):
        return f"[{name}](#{name.lower()})"
    return plain.replace("_", " ")


def _list(schema: Schema, definitions: Definitions) -> str:
    if "prefixItems" in schema:
        parts = [_takes(part, definitions) for part in schema["prefixItems"]]
        return "[" + ", ".join(parts) + "]"
    return f"list of {_takes(schema.get('items', {}), definitions)}"


def _number(schema: Schema) -> str:
    kind = "whole number" if schema["type"] == "integer" else "number"
    low = schema.get("minimum", schema.get("exclusiveMinimum"))
    high = schema.get("maximum", schema.get("exclusiveMaximum"))
    if low is None or high is None:
        return kind
    return f"{kind}, {low} to {high}"


def _plain(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
