"""A job as plain data moved, turned by a quarter, mirrored, or written in the other unit."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

Data = dict[str, Any]
INCH = 25.4
APART = ("top", "tolerance", "allowance")  # of a keep region: not its shape
# keys whose values are no lengths, in the jobs that are made here
NOT_LENGTHS = {"flutes", "turn", "angle", "count", "spring_passes", "number"}
OTHER = {"climb": "conventional", "conventional": "climb", "both": "both"}


def moved(job: Data, dx: float, dy: float) -> Data:
    """Everything elsewhere on the table."""
    return _each_shape(job, {"move": [dx, dy]}, lambda x, y: [x + dx, y + dy])


def turned(job: Data) -> Data:
    """A quarter turn counter-clockwise about the origin, rows with it."""
    made = _each_shape(job, {"turn": 90, "about": [0, 0]}, lambda x, y: [-y, x])
    for keys in _passes(made):
        if "angle" in keys:
            keys["angle"] += 90
    return made


def mirrored(job: Data) -> Data:
    """Left and right changed places: what was climb is conventional."""
    made = _each_shape(job, {"mirror": {"across": "x"}}, lambda x, y: [-x, y])
    for region in made["keep_regions"].values():
        if "open" in region:
            stands = region["open"]["stands"]
            region["open"]["stands"] = "left" if stands == "right" else "right"
    for keys in _passes(made):
        keys["direction"] = OTHER[keys.get("direction", "climb")]
        if "angle" in keys:
            keys["angle"] = 180 - keys["angle"]
    return made


def in_inches(job: Data) -> Data:
    """The same sizes as bare numbers of inches."""
    made: Data = _scaled(deepcopy(job), "")
    made["units"] = "inch"
    return made


def _passes(job: Data) -> list[Data]:
    return [keys for asked in job["passes"] for keys in asked.values()]


def _each_shape(job: Data, modifier: Data, place: Any) -> Data:
    made = deepcopy(job)
    made["stock"]["outline"] = _modified(made["stock"]["outline"], modifier, place)
    regions = made["keep_regions"]
    for name in regions:
        regions[name] = _modified(regions[name], modifier, place)
    for name, jaw in made.get("workholding", {}).get("obstacles", {}).items():
        made["workholding"]["obstacles"][name] = _modified(jaw, modifier, place)
    return made


def _modified(shape: Data, modifier: Data, place: Any) -> Data:
    kept = {key: shape[key] for key in APART if key in shape}
    bare = {key: value for key, value in shape.items() if key not in APART}
    if "open" in bare:
        path = bare["open"]["path"]
        path["start"] = place(*path["start"])
        path["steps"] = [{"line": place(*step["line"])} for step in path["steps"]]
        return {**bare, **kept}
    return {"any_of": [bare], **modifier, **kept}


def _scaled(value: Any, key: str) -> Any:
    if isinstance(value, dict):
        return {k: _scaled(v, k) for k, v in value.items()}
    if isinstance(value, list):
        return [_scaled(v, key) for v in value]
    if isinstance(value, bool) or not isinstance(value, int | float) or key in NOT_LENGTHS:
        return value
    return value / INCH
