"""Wild specs: jobs, families and shop files changed from the corpus, and grown from the schema.

The corpus is the example jobs and the broken specs of the tests. Of ten inputs three are changed in
their bytes, one in its tree, one is grown from the published schema or grafted with what is; five
are jobs that mostly stay jobs (`sound.py`), so that the planner too has its share. Each is read
twice, which must end alike: a job, or findings with a place and a remedy. A job is lowered to its
operation list, unless it leaves a cutter open: that plans motions in full, which is another matter
than reading.
"""

from __future__ import annotations

import json
import random
import shutil
import tempfile
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from kind import NUMBERS, Kind, changed
from sound import schema, sound

from compiler.diagnostics import Diagnostic, has_errors
from compiler.road import lower_setups
from compiler.spec.load import load_job

ROOT = Path(__file__).resolve().parents[2]
MOST_PLACES = 5000  # of a tree in the corpus; one of the broken specs names itself into millions
SHOP, FAMILY = b"# the shop file\n", b"# a family\n"
# fmt: off
WORDS = (
    "auto", "T1", "T2", "boss", "constant_engagement", "0.5 in", "1-1/2", "40%", "../shop.yaml",
    "../../etc/passwd", "/", ".", "on", "drawings/guider-plate.dxf", "null", "~", "1e400", "nan",
    "-0", "0x10", "1_000", "12:30", "2026-01-01", "<<", "${", "6 mm", "30 deg", "${ 1 + 1 }",
    "${ tube / 2 }", "stock centre", "region boss centre", "\x00", "\u00e9" * 50, "a" * 3000,
)
# fmt: on


@cache
def corpus() -> tuple[bytes, ...]:
    """Small specs, whole and broken."""
    files = [*sorted((ROOT / "specs").glob("*.yaml")), *sorted((ROOT / "specs").glob("*/*.yaml"))]
    files += sorted((ROOT / "tests" / "spec" / "broken").glob("*.yaml"))
    return tuple(_marked(file.read_bytes()) for file in files if file.stat().st_size < 20_000)


def _marked(data: bytes) -> bytes:
    """With a first line that tells `try_out` which file it is."""
    if b"\nspec: shop/1" in b"\n" + data:
        return SHOP + data
    return FAMILY + data if b"\nspec: family/1" in b"\n" + data else data


@cache
def trees() -> tuple[Any, ...]:
    """The corpus as plain data, where it is that, and of a size to be copied."""
    found = []
    for data in corpus():
        try:
            found.append(yaml.safe_load(data))
        except Exception:  # the broken ones
            continue
    return tuple(tree for tree in found if isinstance(tree, dict) and _is_small(tree))


def _is_small(tree: Any) -> bool:
    """Whether it has few places, those behind an alias counted each time that it is named."""
    waiting, count = [tree], 0
    while waiting and count <= MOST_PLACES:
        node = waiting.pop()
        count += 1
        if isinstance(node, dict | list):
            waiting += node.values() if isinstance(node, dict) else node
    return count <= MOST_PLACES


def make(chance: random.Random) -> bytes:
    """One input."""
    turn = chance.random()
    if turn < 0.3:
        return changed(chance, chance.choice(corpus()), corpus())
    if turn < 0.4:
        tree = json.loads(json.dumps(chance.choice(trees()), default=str))
    elif turn < 0.43:
        tree = grown(chance, schema(), 4)
    elif turn < 0.5:
        tree = json.loads(json.dumps(chance.choice(trees()), default=str))
        definition = chance.choice(sorted(schema()["$defs"]))
        _graft(chance, tree, grown(chance, schema()["$defs"][definition], 3))
    else:
        return yaml.safe_dump(sound(chance), allow_unicode=True, sort_keys=False).encode()
    for _ in range(chance.choice((0, 1, 1, 2, 4))):
        _graft(chance, tree, None)
    return _marked(yaml.safe_dump(tree, allow_unicode=True, sort_keys=False).encode())


def _places(tree: Any) -> Iterator[tuple[Any, Any]]:
    """Every mapping or list in a tree with each of its keys."""
    keys = tree if isinstance(tree, dict) else range(len(tree))
    for key in list(keys):
        yield tree, key
        if isinstance(tree[key], dict | list):
            yield from _places(tree[key])


def _graft(chance: random.Random, tree: Any, twig: Any) -> None:
    """Something else at one place of the tree, or nothing there, or a key under another name."""
    places = list(_places(tree)) if isinstance(tree, dict | list) else []
    if not places:
        return
    branch, key = chance.choice(places)
    match chance.randrange(6) if twig is None else 0:
        case 0:
            branch[key] = _value(chance) if twig is None else twig
        case 1:
            del branch[key]
        case 2 if isinstance(branch, dict):
            branch[chance.choice((*WORDS, *(str(k) for _, k in places)))] = branch.pop(key)
        case 3:
            other, place = chance.choice(places)
            branch[key] = json.loads(json.dumps(other[place]))
        case 4 if isinstance(branch[key], int | float):
            branch[key] = branch[key] * chance.choice((0, -1, 1e-3, 0.5, 1.01, 2, 1000, 1e9))
        case _:
            branch[key] = _value(chance)


def _value(chance: random.Random) -> Any:
    """A value that has no business there, or just might have."""
    match chance.randrange(7):
        case 0:
            return chance.choice(NUMBERS).decode()
        case 1:
            return chance.choice((0, -1, 1, 0.1, 1e9, -1e-9, 2**70, 1e308))
        case 2:
            return chance.choice((True, False, None, [], {}, [[]], {"a": None}))
        case 3:
            return [_value(chance) for _ in range(chance.randrange(4))]
        case _:
            return chance.choice(WORDS)


def grown(chance: random.Random, rule: Any, depth: int) -> Any:
    """Something that a rule of the schema allows, near enough."""
    if not isinstance(rule, dict) or depth < 0:
        return _value(chance)
    if "$ref" in rule:
        return grown(chance, schema()["$defs"][rule["$ref"].rsplit("/", 1)[-1]], depth - 1)
    if "const" in rule or "enum" in rule:
        return rule["const"] if "const" in rule else chance.choice(rule["enum"])
    if rule.get("examples") and chance.random() < 0.6:
        return deepcopy(chance.choice(rule["examples"]))
    for key in ("anyOf", "oneOf"):
        options = [each for each in rule.get(key, []) if set(each) != {"required"}]
        if options:
            return grown(chance, chance.choice(options), depth)
    match rule.get("type"):
        case "object":
            return _mapping(chance, rule, depth)
        case "array":
            count = chance.choice((rule.get("minItems", 0), 1, 2, 3))
            inner = rule.get("prefixItems") or [rule.get("items", {})] * count
            return [grown(chance, each, depth - 1) for each in inner]
        case "integer":
            return chance.choice((0, 1, 2, 3, 7, 10_000))
        case "number":
            return chance.choice((0, 1, 2.5, 6, 0.01, 40, 100))
        case "boolean":
            return chance.choice((True, False))
    return chance.choice(("1", "6 mm", "0.5 in", "boss", "T1", "30 deg", "800 mm/min", "G54"))


def _mapping(chance: random.Random, rule: dict[str, Any], depth: int) -> dict[str, Any]:
    keys = dict(rule.get("properties", {}))
    needed = set(rule.get("required", []))
    for choice in rule.get("oneOf", []):  # exactly one of several keys
        needed |= set(choice.get("required", [])) if chance.random() < 0.3 else set()
    likely = min(0.9, 4 / max(1, len(keys)))
    found = {
        key: grown(chance, inner, depth - 1)
        for key, inner in keys.items()
        if key in needed or chance.random() < likely
    }
    more = rule.get("additionalProperties")
    if isinstance(more, dict):
        found |= {
            name: grown(chance, more, depth - 1)
            for name in chance.sample(("boss", "T1", "rail", "left jaw"), chance.randint(1, 3))
        }
    return found


@cache
def folder() -> Path:
    """A folder with all that the examples name, once for each process."""
    made = Path(tempfile.mkdtemp(prefix="wild-specs-"))
    shutil.copytree(ROOT / "specs", made / "specs")
    (made / ".git").mkdir()
    return made


def try_out(data: bytes) -> str:
    """Read it twice, lower what it is; how it ended in a word."""
    first, second = _outcome(data), _outcome(data)
    assert first == second, f"{first} and then {second}"
    return first[0]


def _outcome(data: bytes) -> tuple[str, tuple[Diagnostic, ...]]:
    root = folder()
    path, member = root / "specs" / "wild.yaml", ""
    shop = (ROOT / "specs" / "shop.yaml").read_bytes()
    if data.startswith(SHOP):
        shop, data = data, (ROOT / "specs" / "finder-bracket.yaml").read_bytes()
    elif data.startswith(FAMILY):
        path, member = root / "specs" / "families" / "wild.yaml", "finder-ring-60"
    (root / "specs" / "shop.yaml").write_bytes(shop)
    path.write_bytes(data)
    read = load_job(path, root, member)
    assert (read.value is None) == has_errors(read.findings)
    findings = list(read.findings)
    if read.value is not None and not any(job.open_passes for job in read.value.jobs):
        journey = lower_setups(read.value.jobs)
        assert journey.failed or journey.plan is not None
        findings += journey.findings
    for found in findings:
        assert found.message and found.help, found
        assert found.primary is not None, found
    codes = sorted({found.code for found in findings if found.code.startswith("E")})
    if read.value is None:
        return f"refused: {codes[0]}", tuple(findings)
    return (f"a job, and then {codes[0]}" if codes else "a job"), tuple(findings)


KIND = Kind("specs", make, try_out)
