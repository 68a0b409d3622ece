"""The published schemas: current, complete, and accepting exactly what the models accept."""

import json
import random
from copy import deepcopy
from typing import Any

import pytest
import whole_job
from conftest import ROOT
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from test_broken_specs import assert_well_told

from compiler.diagnostics import has_errors
from compiler.spec.document import as_family, as_job, as_shop
from compiler.spec.schema import schemas
from compiler.spec.source import read
from compiler.spec.tree import plain

SCHEMAS = {name.split(".")[0]: json.loads(text) for name, text in schemas().items()}
VALIDATORS = {name: Draft202012Validator(schema) for name, schema in SCHEMAS.items()}
READERS = {"job": as_job, "shop": as_shop, "family": as_family}
WHOLE = {
    "job": [whole_job.JOB, whole_job.MEMBER],
    "shop": [whole_job.SHOP],
    "family": [whole_job.FAMILY],
}
CASES = [(kind, whole) for kind, wholes in WHOLE.items() for whole in wholes]

# what a slip of the hand or the mind may put in place of a value
ODD: tuple[Any, ...] = (
    *(0, 1, -1, 2, 3.0, 2.5, 1e6, 999_999, -0.0, True, False, None, [], {}, [1, 2], [1, "2 mm"]),
    *("", "6 mm", "5/8", "-1-1/4 in", "0 mm", "40%", "8 mn", "30 in/min", "400 ft/min", "1.5 kW"),
    *("on", "auto", "climb", "T1", "a b", "1a", "a\n", "é", "x" * 201, "stock centre", "cw", "G54"),
    *("region boss centre", "inch", "hss", [[0, 0], [1, 0], [1, 1]], {"circle": {}}, [{}], "G1 X0"),
)


@pytest.mark.parametrize("name", sorted(schemas()))
def test_committed_schema_is_current(name: str) -> None:
    committed = (ROOT / "schemas" / name).read_text(encoding="utf-8")
    assert committed == schemas()[name], "run: standproud schema --write schemas"


@pytest.mark.parametrize("kind", sorted(SCHEMAS))
def test_schema_is_a_schema(kind: str) -> None:
    Draft202012Validator.check_schema(SCHEMAS[kind])
    text = json.dumps(SCHEMAS[kind])
    assert "x-shared" not in text and '"null"' not in text
    assert "://" not in text.replace(SCHEMAS[kind]["$schema"], ""), "no host is named"


@pytest.mark.parametrize("kind", sorted(SCHEMAS))
def test_every_key_has_hover_text(kind: str) -> None:
    for name, definition in SCHEMAS[kind]["$defs"].items():
        for key, value in definition.get("properties", {}).items():
            assert len(value.get("description", "")) > 5, f"{name}.{key}"


@pytest.mark.parametrize(("kind", "whole"), CASES)
def test_whole_documents_are_accepted(kind: str, whole: dict[str, Any]) -> None:
    assert accepted_by_models(kind, whole) == (True, whole)
    assert not list(VALIDATORS[kind].iter_errors(whole))


@pytest.mark.parametrize("file", sorted((ROOT / "specs").rglob("*.yaml")), ids=lambda f: f.name)
def test_the_projects_own_specs_fit(file: Any) -> None:
    tree = read(file.read_bytes(), file.name).value
    assert tree is not None
    said = plain(tree)
    assert isinstance(said, dict)
    kind = said["spec"].split("/")[0]
    assert not list(VALIDATORS[kind].iter_errors(said))


@given(seed=st.integers(min_value=0, max_value=2**32), slips=st.integers(min_value=1, max_value=3))
def test_schema_and_models_accept_the_same(seed: int, slips: int) -> None:
    """Random slips in documents that use every key; many for each example, since they are cheap."""
    chance = random.Random(seed)
    for kind, whole in CASES:
        for _ in range(2):
            changed = deepcopy(whole)
            for _ in range(slips):
                slip(changed, chance)
            agree(kind, changed)


def agree(kind: str, document: dict[str, Any]) -> None:
    accepted, said = accepted_by_models(kind, document)
    errors = list(VALIDATORS[kind].iter_errors(said))
    assert accepted == (not errors), (
        f"models {'accept' if accepted else 'refuse'}, schema says "
        f"{[(e.json_path, e.message[:120]) for e in errors]} of {json.dumps(document)}"
    )


def accepted_by_models(kind: str, document: dict[str, Any]) -> tuple[bool, object]:
    """Whether the typed language takes a document, and the document as it was read."""
    found = read(json.dumps(document).encode(), "a.yaml")
    assert found.value is not None and not found.findings, found.findings
    typed = READERS[kind](found.value)
    for told in typed.findings:
        assert_well_told(told)
    accepted = not has_errors(typed.findings)
    assert accepted == (typed.value is not None) or "${" in json.dumps(document)
    return accepted, plain(found.value)


def slip(document: dict[str, Any], chance: random.Random) -> None:
    """One change: a value replaced, a key lost, added, misspelt, or moved; a list changed."""
    holders = list(containers(document))
    holder = chance.choice(holders)
    if isinstance(holder, list):
        if holder and chance.random() < 0.7:
            holder[chance.randrange(len(holder))] = deepcopy(chance.choice(ODD))
        elif holder and chance.random() < 0.5:
            holder.pop()
        else:
            holder.append(deepcopy(chance.choice(ODD)))
        return
    keys = [key for key in holder if key not in ("spec", "from")]
    key = chance.choice(keys) if keys else None
    match chance.randrange(5):
        case 0 | 1 if key is not None:
            holder[key] = deepcopy(chance.choice(ODD))
        case 2 if key is not None:
            del holder[key]
        case 3 if key is not None:
            holder[chance.choice(KEYS)] = holder.pop(key)
        case _:
            holder[chance.choice(KEYS)] = deepcopy(chance.choice(ODD))


def containers(value: Any) -> list[Any]:
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else []
    found = [value] if isinstance(value, dict | list) else []
    return found + [holder for item in inner for holder in containers(item)]


HOLDERS = [holder for _, whole in CASES for holder in containers(whole) if isinstance(holder, dict)]
KEYS = [
    *sorted({key for holder in HOLDERS for key in holder} - {"spec", "from"}),
    *("colour", "1", "on", "x" * 41),
]
