"""Jobs by seed, within the language: any of them must either build or end in a located error."""

from __future__ import annotations

import random
from typing import Any

PATTERNS = ("contour_parallel", "direction_parallel", "constant_engagement")


def random_job(seed: int, pattern: str | None = None, units: str = "mm") -> dict[str, Any]:
    """A job as plain data, millimetres: one to six regions of any kind on a rectangular blank."""
    dice = random.Random(seed)
    width, height = dice.randint(60, 160), dice.randint(50, 120)
    diameter = dice.choice([5, 6, 8, 10, 12])
    depth = dice.choice([3, 6, 9])
    regions: dict[str, Any] = {}
    for number in range(dice.randint(1, 6)):
        shape = _shape(dice, width, height)
        if dice.random() < 0.25:
            shape["top"] = -dice.choice([1, 2])
        regions[f"region {number + 1}"] = shape
    if dice.random() < 0.3:
        x = round(width * dice.uniform(0.8, 0.95), 2)
        chain = {"start": [x, 0], "steps": [{"line": [x, height]}]}
        regions["rail"] = {"open": {"path": chain, "stands": "right"}}
    rough: dict[str, Any] = {
        "tool": "T1",
        "to": -depth,
        "pattern": pattern or dice.choice(PATTERNS),
        "allowance": {"wall": 0.2, "floor": 0.1},
    }
    passes = [{"rough": rough}, {"finish_floor": {"tool": "T1"}}, {"finish_walls": {"tool": "T1"}}]
    return {
        "spec": "job/1",
        "name": f"random-{seed}",
        "units": units,
        "machine": "machining_centre_medium",
        "material": dice.choice(["aluminium_6061", "steel_1018", "brass_c360"]),
        "stock": {
            "outline": {"rectangle": {"from": [0, 0], "to": [width, height]}},
            "thickness": depth + 6,
        },
        "keep_regions": regions,
        "tools": {
            "T1": {
                "end_mill": {
                    "diameter": diameter,
                    "flutes": 3,
                    "flute_length": 20,
                    "stickout": 28,
                    "material": "carbide",
                    "centre_cutting": True,
                }
            }
        },
        "passes": passes,
    }


def _shape(dice: random.Random, width: int, height: int) -> dict[str, Any]:
    size = dice.uniform(8, 28)
    x = round(dice.uniform(size, width - size), 2)
    y = round(dice.uniform(size, height - size), 2)
    size = round(size, 2)
    match dice.choice(["circle", "rectangle", "slot", "polygon", "ring", "angle"]):
        case "circle":
            return {"circle": {"centre": [x, y], "diameter": size}}
        case "rectangle":
            return {
                "rectangle": {"centre": [x, y], "size": [size, round(size * 0.7, 2)]},
                "turn": dice.randint(0, 89),
            }
        case "slot":
            end = [round(x + size / 3, 2), round(y + size / 4, 2)]
            return {"slot": {"from": [x, y], "to": end, "width": round(size / 2, 2)}}
        case "polygon":
            reach = size / 2
            points = [[x - reach, y - reach], [x + reach, y - reach], [x, y + reach]]
            return {"polygon": {"points": points, "corner_radius": round(size / 12, 2)}}
        case "ring":
            hole = {"circle": {"centre": [x, y], "diameter": round(size * 0.6, 2)}}
            gap = {"rectangle": {"from": [x, y - size * 0.25], "to": [x + size, y + size * 0.25]}}
            return {
                "circle": {"centre": [x, y], "diameter": round(size, 2)},
                "minus": [hole, gap] if dice.random() < 0.7 else [hole],
            }
        case _:
            corner = [x - size / 2, y - size / 2]
            return {
                "any_of": [
                    {"rectangle": {"from": corner, "size": [size, size / 3]}},
                    {"rectangle": {"from": corner, "size": [size / 3, size]}},
                ]
            }
