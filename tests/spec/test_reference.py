"""The reference of the language says all that the schemas say, and its links lead somewhere."""

from __future__ import annotations

import json
import re

import pytest

from compiler.spec.reference import PLAIN, WORDS, reference
from compiler.spec.schema import schemas

TEXT = reference()
SECTIONS = set(re.findall(r"^## (\w+)$", TEXT, re.MULTILINE))


def test_every_link_leads_to_a_section() -> None:
    links = set(re.findall(r"\]\(#(\w+)\)", TEXT))
    assert links
    assert links <= {section.lower() for section in SECTIONS}


@pytest.mark.parametrize("file", schemas())
def test_every_key_of_every_mapping_is_told(file: str) -> None:
    definitions = json.loads(schemas()[file])["$defs"]
    for name, schema in definitions.items():
        if "properties" not in schema:
            continue
        assert name in SECTIONS
        section = TEXT.partition(f"\n## {name}\n")[2].partition("\n## ")[0]
        for key, value in schema["properties"].items():
            assert f"`{key}`" in section, f"{name}.{key}"
            assert value.get("description", "")[:40] in section.replace("\\|", "|")


@pytest.mark.parametrize("file", schemas())
def test_every_shared_value_has_words_of_its_own(file: str) -> None:
    definitions = json.loads(schemas()[file])["$defs"]
    shared = {
        name.removeprefix(PLAIN) for name in definitions if "properties" not in definitions[name]
    }
    assert shared - {"expression"} <= WORDS.keys()


def test_no_pattern_or_bare_reference_is_left_in_it() -> None:
    assert "$ref" not in TEXT and "#/$defs" not in TEXT and "A-Za-z" not in TEXT


def test_what_is_required_is_bold() -> None:
    assert "| **`units`** | `inch`, `mm` |" in TEXT
    assert "| `shop` |" in TEXT


def test_it_ends_with_all_that_is_built_in() -> None:
    from compiler.knowledge.machines import MACHINES
    from compiler.knowledge.materials import MATERIALS

    built_in = TEXT.partition("\n# Built in\n")[2]
    for name in (*MACHINES, *MATERIALS):
        assert f"| `{name}` |" in built_in
