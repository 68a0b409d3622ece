"""Cutters and cuts for the tests of this folder."""

import math
from typing import Any

from compiler.diagnostics import Span
from compiler.job.model import Tool


def cutter(diameter: float, **changed: Any) -> Tool:
    """An end mill of usual proportions; anything may be changed."""
    usual: dict[str, Any] = {
        "name": "T1",
        "number": 1,
        "kind": "end_mill",
        "diameter": diameter,
        "flutes": 3,
        "flute_length": 2.5 * diameter,
        "stickout": 3 * diameter,
        "shank_diameter": max(diameter, 3.0),
        "material": "carbide",
        "centre_cutting": True,
        "helix_angle": math.radians(35),
        "length_offset": 1,
        "diameter_offset": 1,
        "origin": Span("specs/plate.yaml", 1, 1, 1, 2),
    }
    return Tool(**{**usual, **changed})
