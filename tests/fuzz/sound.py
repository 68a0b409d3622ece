"""Jobs that mostly stay jobs: what goes past the reader and comes before the planner.

Half are the example jobs, half small plates made here; each is then changed by the rules of the
published schema, one place to four: a number nudged, a value or a whole branch put in or changed
for one that the schema allows at that place, an entry copied or dropped. Names are those that the
job holds, lengths those of the plate.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator, Sequence
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).resolve().parents[2]
TEXTS = (
    *(
        "6 mm",
        "0.2 in",
        "1/4 in",
        "3",
        "40%",
        "30 deg",
        "800 mm/min",
        "90 m/min",
        "10 m/s2",
        "2 kW",
    ),
    *("boss", "T1", "35 N m", "4 s", "700 N/mm2", "MT-0100", "2026-02-03"),
)
MATERIALS = ("aluminium_6061", "brass_c360", "acetal", "steel_1018")
CRIB_MM = ("em_12mm_3fl", "em_10mm_3fl", "em_6mm_3fl", "sd_90_6mm", "dr_33mm", "dr_50mm")
PASSES = ("rough", "rest", "finish_floor", "finish_walls", "break_edges", "drill", "face")
OPEN = "auto"  # a cutter left open is chosen by planning in full: not what is asked here


@cache
def schema() -> dict[str, Any]:
    """What a job may hold."""
    return dict(json.loads((ROOT / "schemas" / "job.schema.json").read_text("utf-8")))


@cache
def examples() -> tuple[str, ...]:
    """The example jobs as JSON, each standing for itself."""
    trees = [yaml.safe_load(f.read_text("utf-8")) for f in sorted((ROOT / "specs").glob("*.yaml"))]
    jobs = [tree for tree in trees if tree["spec"] == "job/1" and "from" not in tree]
    return tuple(json.dumps(tree, default=str) for tree in jobs)


def sound(chance: random.Random) -> dict[str, Any]:
    """A job, changed; mostly one that can be resolved."""
    tree = json.loads(chance.choice(examples())) if chance.random() < 0.5 else plate(chance)
    for _ in range(chance.choice((0, 1, 1, 2, 3, 4))):
        _turned(chance, tree)
    return dict(tree)


# ---------------------------------------------------------------- a plate of chance


def plate(chance: random.Random) -> dict[str, Any]:
    """A small block with one to four keep regions, some cutters and passes over them."""
    wide, deep = chance.choice((20, 30, 60)), chance.choice((20, 24.5, 40))
    keep = {}
    for name in chance.sample(("boss", "rail", "left lug", "hub"), chance.choice((1, 1, 2, 4))):
        keep[name] = _shape(chance, wide, deep)
        if chance.random() < 0.3:
            keep[name]["top"] = -chance.choice((0.5, 1, 2.5))
    tools = {f"T{i}": {"crib": chance.choice(CRIB_MM)} for i in range(2, chance.choice((2, 3, 4)))}
    tools = {"T1": {"crib": chance.choice(CRIB_MM[1:3])}} | tools
    floor = -chance.choice((0.5, 2, 3, 6))
    tree: dict[str, Any] = {
        "spec": "job/1",
        "name": "wild-plate",
        "units": "mm",
        "shop": "shop.yaml",
        "machine": chance.choice(("small_machining_centre", "iso_machining_centre")),
        "material": chance.choice(MATERIALS),
        "stock": {
            "outline": {"rectangle": {"from": [0, 0], "to": [wide, deep]}},
            "thickness": chance.choice((8, 10, 20)),
        },
        "workholding": {"lowest_cut": floor - 1},
        "keep_regions": keep,
        "tools": tools,
    }
    rough = {
        "tool": "T1",
        "to": floor,
        "pattern": chance.choice(("contour_parallel",) * 2 + PATTERN),
    }
    tree["passes"] = [{"rough": rough}]
    for kind in PASSES[1:]:
        if chance.random() < 0.25:
            rule = schema()["$defs"]["PassItem"]["properties"]
            tree["passes"].append({kind: _fitting(chance, rule[kind], kind, tree, 3)})
    return tree


PATTERN = ("direction_parallel", "constant_engagement")


def _shape(chance: random.Random, wide: float, deep: float) -> dict[str, Any]:
    """A region on the block, now and then beyond its edge."""
    size = chance.choice((1, 3, 4.5, 6, 8))
    edge = chance.choice((0, 4, 9))
    x, y = (round(chance.uniform(min(edge, w / 3), w - edge - 1), 2) for w in (wide, deep))
    match chance.randrange(4):
        case 0:
            return {"circle": {"centre": [x, y], "diameter": size}}
        case 1:
            corner = chance.choice((0, 0.5, 1))
            made = {"centre": [x, y], "size": [size, chance.choice((3, 7, size))]}
            return {"rectangle": made | ({"corner_radius": corner} if corner else {})}
        case 2:
            return {"slot": {"from": [x, y], "to": [x + size, y + 1], "width": size / 2}}
        case _:
            points = [[x, y], [x + size, y], [x + size / 2, y + size]]
            return {"polygon": {"points": points}, "turn": chance.choice((0, 30, 180))}


# ---------------------------------------------------------------- changes by the schema


def _turned(chance: random.Random, tree: dict[str, Any]) -> None:
    """One change at a place that the schema knows."""
    spots = list(_spots(tree, [schema()["$defs"]["Job"]]))
    branch, key, rules = chance.choice(spots)
    if chance.random() < 0.35:  # numbers are many, and changing them leaves most jobs whole
        numbers = [s for s in spots if _is_number(s[0][s[1]])]
        branch, key, rules = chance.choice(numbers)
        branch[key] = _nudged(chance, branch[key])
        return
    match chance.randrange(4):
        case 0 if isinstance(branch, dict):
            _put_in(chance, branch, tree, spots)
        case 1 if isinstance(branch[key], dict | list) and _may_have_more(branch, spots):
            _copied(chance, branch, key)
        case 2 if len(branch) > 1:
            del branch[key]
        case _ if rules:
            said = str(key) if isinstance(branch, dict) else ""
            branch[key] = _fitting(chance, chance.choice(rules), said, tree, 3)


def _spots(node: Any, rules: Sequence[Any]) -> Iterator[tuple[Any, Any, list[Any]]]:
    """Every branch of a tree with each of its keys, and the rules for what is there."""
    options = [each for rule in rules for each in _options(rule)]
    for key in list(node) if isinstance(node, dict) else range(len(node)):
        below = []
        for rule in options:
            if isinstance(node, dict):
                known = rule.get("properties", {}).get(key, rule.get("additionalProperties"))
            else:
                first = rule.get("prefixItems", [])
                known = first[key] if key < len(first) else rule.get("items")
            if isinstance(known, dict):
                below.append(known)
        yield node, key, below
        if isinstance(node[key], dict | list):
            yield from _spots(node[key], below)


def _options(rule: Any) -> list[dict[str, Any]]:
    """A rule without references and choices: each of the plain rules that it stands for."""
    if not isinstance(rule, dict):
        return []
    if "$ref" in rule:
        name = rule["$ref"].rsplit("/", 1)[-1]
        if name.endswith("expression"):
            return []
        return _options(schema()["$defs"][name])
    for key in ("anyOf", "oneOf"):
        plain = [each for each in rule.get(key, []) if set(each) != {"required"}]
        if plain:
            return [found for each in plain for found in _options(each)]
    return [rule]


def _put_in(
    chance: random.Random, branch: dict[str, Any], tree: dict[str, Any], spots: Sequence[Any]
) -> None:
    """A key that the schema knows there and that is not said yet."""
    rules = [r for b, k, below in spots for r in below if b[k] is branch] or [
        schema()["$defs"]["Job"]
    ]
    known: dict[str, Any] = {}
    for rule in rules:
        for each in _options(rule):
            known |= each.get("properties", {})
    absent = sorted(set(known) - set(branch))
    if absent:
        key = chance.choice(absent)
        branch[key] = _fitting(chance, known[key], key, tree, 3)


def _may_have_more(branch: Any, spots: Sequence[Any]) -> bool:
    """Whether it is a list of any length, or a mapping of names."""
    rules = [rule for b, k, below in spots for rule in below if b[k] is branch]
    options = [each for rule in rules for each in _options(rule)]
    if isinstance(branch, dict):
        return any(isinstance(o.get("additionalProperties"), dict) for o in options)
    return any(o.get("maxItems", 9) > 2 for o in options)


def _copied(chance: random.Random, branch: Any, key: Any) -> None:
    """One more entry like it, at another place."""
    twin = json.loads(json.dumps(branch[key]))
    for _ in range(2):
        numbers = [s for s in _spots(twin, []) if _is_number(s[0][s[1]])]
        if numbers:
            inner, place, _ = chance.choice(numbers)
            inner[place] = _nudged(chance, inner[place])
    if isinstance(branch, list):
        branch.insert(chance.randrange(len(branch) + 1), twin)
    else:
        branch[f"{key} b"] = twin


def _fitting(chance: random.Random, rule: Any, said: str, tree: dict[str, Any], depth: int) -> Any:
    """Something that the rule allows, of a size that suits the plate; `said` is its key."""
    options = _options(rule)
    if said in ("tool", "spot"):
        return chance.choice([*tree.get("tools", {}), "T1"])
    if said in ("regions", "region", "region_tops"):
        return chance.sample(sorted(tree.get("keep_regions", {"boss": 0})), 1)
    if said == "crib":
        return chance.choice(CRIB_MM)
    shown = [e for e in rule.get("examples", []) if e != OPEN] if isinstance(rule, dict) else []
    if (shown and chance.random() < 0.5) or not options:
        return deepcopy(chance.choice(shown or [1]))  # what is made is changed, the schema is not
    option = chance.choice(options)
    if "const" in option or "enum" in option:
        return option["const"] if "const" in option else chance.choice(option["enum"])
    match option.get("type"):
        case "object" if depth > 0:
            return _mapping(chance, option, tree, depth)
        case "array" if depth > 0:
            count = max(option.get("minItems", 1), chance.choice((1, 2, 3)))
            inner = option.get("prefixItems") or [option.get("items", {})] * count
            return [_fitting(chance, each, "", tree, depth - 1) for each in inner]
        case "boolean":
            return chance.choice((True, False))
        case "integer":
            return chance.choice((1, 2, 3, option.get("minimum", 0)))
        case "number":
            positive = "exclusiveMinimum" in option and option["exclusiveMinimum"] >= 0
            size = chance.choice((0.1, 0.5, 1, 2, 5, 6, 8, 12.5, 30))
            return size if positive or chance.random() < 0.5 else -size
    pattern = option.get("pattern")
    fit = [each for each in TEXTS if pattern is None or re.search(pattern, each)]
    return chance.choice(fit or TEXTS)


def _mapping(
    chance: random.Random, rule: dict[str, Any], tree: dict[str, Any], depth: int
) -> dict[str, Any]:
    """What must be said, one of each set of which one must be, and a little of the rest."""
    known = rule.get("properties", {})
    keys = set(rule.get("required", []))
    either = [each["required"] for each in rule.get("oneOf", []) if set(each) == {"required"}]
    if either:
        keys |= set(chance.choice(either))
    one_of = {key for group in either for key in group}
    keys |= {k for k in known if k not in one_of and chance.random() < 1.5 / len(known)}
    made = {k: _fitting(chance, known[k], k, tree, depth - 1) for k in sorted(keys & set(known))}
    more = rule.get("additionalProperties")
    if isinstance(more, dict):
        made |= {name: _fitting(chance, more, "", tree, depth - 1) for name in ("more", "rail b")}
    return made


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _nudged(chance: random.Random, value: float) -> float:
    if chance.random() < 0.5:
        return round(value * chance.uniform(0.8, 1.25), 3)
    return value + chance.choice((-1, 1, 0.5, -0.1, 0.001, -0.25))
