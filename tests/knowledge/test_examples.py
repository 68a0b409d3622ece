"""The examples in the modules' docstrings are true."""

import doctest
import importlib

import pytest


@pytest.mark.parametrize(
    "name",
    ["bending", "engagement", "force", "materials", "power", "ramp", "residue", "speeds"],
)
def test_examples(name: str) -> None:
    outcome = doctest.testmod(importlib.import_module(f"compiler.knowledge.{name}"))
    assert outcome.attempted > 0 and outcome.failed == 0
