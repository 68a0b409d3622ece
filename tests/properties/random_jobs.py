"""Jobs by seed, within the language: any of them must either build or end in a located error.

`random_job` gives one to six regions on a rectangular blank, one cutter. `wide_job` draws from the
rest of the language as well: blanks of other outlines, faces, terraces, rails, holes, clamps, two
cutters, rest passes, all directions and patterns. Both as plain data, millimetres or inches.
"""

from __future__ import annotations

import random
from typing import Any

Data = dict[str, Any]
PATTERNS = ("contour_parallel", "direction_parallel", "constant_engagement")
ROWS = PATTERNS[:2]


def random_job(seed: int, pattern: str | None = None) -> Data:
    """A job as plain data, millimetres: one to six regions of any kind on a rectangular blank."""
    dice = random.Random(seed)
    width, height = dice.randint(60, 160), dice.randint(50, 120)
    diameter = dice.choice([5, 6, 8, 10, 12])
    depth = dice.choice([3, 6, 9])
    regions = _regions(dice, width, height)
    if dice.random() < 0.3:
        x = round(width * dice.uniform(0.8, 0.95), 2)
        chain = {"start": [x, 0], "steps": [{"line": [x, height]}]}
        regions["rail"] = {"open": {"path": chain, "stands": "right"}}
    rough: Data = {
        "tool": "T1",
        "to": -depth,
        "pattern": pattern or dice.choice(PATTERNS),
        "allowance": {"wall": 0.2, "floor": 0.1},
    }
    passes = [{"rough": rough}, {"finish_floor": {"tool": "T1"}}, {"finish_walls": {"tool": "T1"}}]
    return {
        "spec": "job/1",
        "name": f"random-{seed}",
        "units": "mm",
        "machine": "machining_centre_medium",
        "material": dice.choice(["aluminium_6061", "steel_1018", "brass_c360"]),
        "stock": {
            "outline": {"rectangle": {"from": [0, 0], "to": [width, height]}},
            "thickness": depth + 6,
        },
        "keep_regions": regions,
        "tools": {"T1": _end_mill(diameter)},
        "passes": passes,
    }


def wide_job(seed: int, pattern: str | None = None) -> Data:
    """A job as plain data, millimetres, from the whole language of clearing passes."""
    dice = random.Random(f"wide {seed}")
    width, height = dice.randint(50, 130), dice.randint(40, 100)
    depth = dice.choice([2, 4, 6, 9])
    large = dice.choice([6, 8, 10, 12, 16])
    small = dice.choice([d for d in (3, 4, 5, 6, 8) if d < large])
    faced = dice.random() < 0.2
    job: Data = {
        "spec": "job/1",
        "name": f"wide-{seed}",
        "units": "mm",
        "machine": "machining_centre_medium",
        "material": dice.choice(["aluminium_6061", "steel_1018", "brass_c360", "acetal"]),
        "stock": {
            "outline": _blank(dice, width, height),
            "thickness": depth + 7,
            **({"top": 0.8} if faced else {}),
        },
        "keep_regions": _regions(dice, width, height, depth),
        "tools": {
            "T1": _end_mill(large, centre_cutting=dice.random() < 0.8),
            "T2": _end_mill(small, flute_length=max(12, depth + 3)),
        },
    }
    if dice.random() < 0.5 and "circle" not in job["stock"]["outline"]:
        job["keep_regions"]["rail"] = _rail(dice, width, height)
    if faced:
        for region in job["keep_regions"].values():
            region.setdefault("top", 0)
    if dice.random() < 0.15:
        jaw = {"rectangle": {"from": [-10, height * 0.3], "to": [1.5, height * 0.6]}, "top": 4}
        job["workholding"] = {"method": "Clamped at the left", "obstacles": {"clamp": jaw}}
    job["passes"] = _passes(dice, depth, pattern, faced)
    return job


def _passes(dice: random.Random, depth: float, pattern: str | None, faced: bool) -> list[Data]:
    rows = pattern or dice.choice(ROWS)
    rough: Data = {
        "tool": "T1",
        "to": -depth,
        "pattern": rows,
        "direction": dice.choice(["climb", "conventional", "both"]),
        "allowance": {"wall": dice.choice([0, 0.1, 0.25]), "floor": dice.choice([0, 0.1])},
    }
    if dice.random() < 0.4:
        rough["radial_depth"] = f"{dice.choice([15, 30, 50, 65, 80])}%"
    if rows == "direction_parallel" and dice.random() < 0.5:
        rough["angle"] = dice.choice([0, 30, 45, 90, 133])
    passes = [{"rough": rough}]
    if faced:
        passes.insert(0, {"face": {"tool": "T1", "to": 0}})
    if dice.random() < 0.6:
        rest: Data = {"tool": "T2", "pattern": dice.choice(ROWS)}
        rest["allowance"] = dict(rough["allowance"])
        if dice.random() < 0.3:
            rest["count"] = dice.randint(2, 4)
        passes.append({"rest": rest})
    floor = {"tool": dice.choice(["T1", "T2"]), "pattern": dice.choice(ROWS)}
    walls = {"tool": "T2", "spring_passes": dice.choice([0, 0, 1])}
    return [*passes, {"finish_floor": floor}, {"finish_walls": walls}]


def _end_mill(diameter: float, flute_length: float = 20, centre_cutting: bool = True) -> Data:
    return {
        "end_mill": {
            "diameter": diameter,
            "flutes": 3,
            "flute_length": flute_length,
            "stickout": flute_length + 8,
            "material": "carbide",
            "centre_cutting": centre_cutting,
        }
    }


def _blank(dice: random.Random, width: int, height: int) -> Data:
    match dice.choice(["rectangle", "rectangle", "disc", "angle"]):
        case "disc":
            centre = [width / 2, height / 2]
            return {"circle": {"centre": centre, "diameter": width + height}}
        case "angle":
            corner = {"rectangle": {"from": [width * 0.85, height * 0.8], "to": [width, height]}}
            return {"rectangle": {"from": [0, 0], "to": [width, height]}, "minus": [corner]}
        case _:
            return {"rectangle": {"from": [0, 0], "to": [width, height]}}


def _rail(dice: random.Random, width: int, height: int) -> Data:
    """A rail along the right, straight or with a step, or across the top."""
    x, y = round(width * dice.uniform(0.75, 0.95), 2), round(height * dice.uniform(0.75, 0.95), 2)
    match dice.choice(["right", "step", "top"]):
        case "right":
            chain: Data = {"start": [x, 0], "steps": [{"line": [x, height]}]}
        case "step":
            near = round(x - 6, 2)
            ends = [[x, height / 2], [near, height / 2], [near, height]]
            chain = {"start": [x, 0], "steps": [{"line": end} for end in ends]}
        case _:
            chain = {"start": [width, y], "steps": [{"line": [0, y]}]}
    return {"open": {"path": chain, "stands": "right"}}


def _regions(
    dice: random.Random, width: int, height: int, depth: float | None = None
) -> dict[str, Any]:
    regions: dict[str, Any] = {}
    for number in range(dice.randint(1, 6)):
        shape = _shape(dice, width, height)
        if dice.random() < 0.25:
            shape["top"] = -dice.choice([1, 2])
        if depth is not None:
            if dice.random() < 0.1:
                shape["allowance"] = {"wall": 0.4}
            if shape.get("top", 0) <= -depth:
                del shape["top"]
        regions[f"region {number + 1}"] = shape
    return regions


def _shape(dice: random.Random, width: int, height: int) -> Data:
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
