"""A job and a shop that use every part of the language, as data for mutation."""

from copy import deepcopy
from typing import Any

CUTTER = {"diameter": "1/2", "flutes": 3, "flute_length": 1.25, "stickout": 1.5}

SHOP: dict[str, Any] = {
    "spec": "shop/1",
    "name": "Mount workshop",
    "units": "inch",
    "machines": {
        "mill": {
            "axes": {"x": 20, "y": 10, "z": "8 in"},
            "spindle": {
                "max_rpm": 5000,
                "min_rpm": 100,
                "power": "2 hp",
                "peak_torque": "15 ft lbf",
            },
            "feed": {"max": 80, "rapid": "120 in/min", "acceleration": 20},
            "tool_change": "manual",
            "change_time": 60,
            "program": {
                "standard": "rs274ngc",
                "decimals": 4,
                "line_numbers": True,
                "arcs": "centre",
                "comments": "semicolon",
                "program_number": 12,
                "max_line_length": 100,
                "length_offset": True,
                "opening": ["G17 G20 G90"],
                "closing": [],
            },
        }
    },
    "crib": {
        "em": {
            "end_mill": {**CUTTER, "material": "carbide", "centre_cutting": True, "helix_angle": 35}
        },
        "bull": {"bull_mill": {**CUTTER, "corner_radius": "1 mm"}, "number": 7},
        "ball": {"ball_mill": {**CUTTER, "holder": {"diameter": 1.5, "length": 2}}},
        "face": {"face_mill": {**CUTTER, "shank_diameter": 0.75}},
        "chamfer": {"chamfer_mill": {**CUTTER, "tip_angle": 90, "tip_diameter": 0.02}},
        "drill": {"drill": {"diameter": "5 mm", "tip_angle": 118}, "about": "For the M6 holes"},
    },
    "materials": {
        "plate": {
            "iso_group": "N",
            "hardness": "95 HB",
            "unit_power": "0.33 hp/(in3/min)",
            "cutting_speed": {"hss": "200 ft/min", "carbide": 800},
            "chip_load": {"carbide": [[0.125, 0.001], ["1/2", "0.004 in"]]},
            "max_ramp_angle": 3,
            "slot_depth": 0.5,
            "side_depth": 1.5,
            "cautions": ["Keep the chips cool"],
        }
    },
}

JOB: dict[str, Any] = {
    "spec": "job/1",
    "name": "whole-job",
    "title": "Every key",
    "number": "MT-1",
    "revision": "A",
    "notes": ["Deburr all edges"],
    "units": "mm",
    "shop": "shop.yaml",
    "machine": "mill",
    "material": "plate",
    "stock": {
        "outline": {"rectangle": {"from": [0, 0], "to": [200, 120], "corner_radius": 5}},
        "top": 0,
        "thickness": "1 in",
    },
    "datum": {"at": "stock lower_left", "work_offset": "G55", "found_by": "Edge finder"},
    "workholding": {
        "method": "Vise",
        "lowest_cut": -12,
        "obstacles": {"jaw": {"rectangle": {"from": [-20, 0], "size": [10, 120]}, "top": -5}},
    },
    "heights": {"clearance": 12, "approach": "0.05 in"},
    "keep_regions": {
        "boss": {"circle": {"centre": [30, 30], "diameter": 20}, "about": "Bearing seat"},
        "lug": {
            "rectangle": {"centre": [80, 30], "size": [20, 12]},
            "minus": [{"circle": {"centre": [80, 30], "radius": 3}}],
            "grow": 0.5,
            "turn": 30,
            "about": [80, 30],
            "top": -2,
            "tolerance": 0.05,
            "allowance": {"wall": 0.2, "floor": 0.1},
        },
        "pads": {
            "slot": {"from": [0, 0], "to": [6, 0], "width": 4},
            "move": [20, 80],
            "repeat": {"grid": {"count": [3, 2], "pitch": [15, 12]}},
        },
        "ring": {
            "polygon": {"points": [[0, 0], [6, 0], [3, 5]], "corner_radius": 0.5},
            "repeat": {"ring": {"centre": [150, 80], "count": 5, "radius": 20, "start_angle": 10}},
        },
        "cheek": {
            "outline": {
                "start": [90, 60],
                "steps": [
                    {"line": [110, 60], "round": 2},
                    {"line": [110, 80], "chamfer": 3},
                    {"arc": {"to": [90, 80], "radius": 15, "turn": "ccw", "long": False}},
                    {"arc": {"to": [90, 60], "centre": [90, 70], "turn": "ccw"}},
                ],
            },
            "mirror": {"across": "y", "at": 55},
        },
        "pair": {
            "any_of": [
                {"circle": {"centre": [170, 20], "radius": 6}},
                {"circle": {"centre": [178, 20], "radius": 6}},
            ]
        },
        "rail": {
            "open": {
                "path": {"start": [190, 0], "steps": [{"line": [190, 120]}]},
                "stands": "right",
            }
        },
    },
    "tools": {
        "T1": {"crib": "em"},
        "small": {"end_mill": {"diameter": 4, "flutes": 2}, "length_offset": 12, "about": "Long"},
        "T3": {"crib": "drill"},
    },
    "passes": [
        {
            "face": {
                "tool": "T1",
                "to": 0,
                "from": 0.5,
                "pattern": "direction_parallel",
                "angle": 45,
            }
        },
        {
            "rough": {
                "name": "clear",
                "tool": "T1",
                "to": -10,
                "pattern": "constant_engagement",
                "engagement": 60,
                "axial_depth": 5,
                "allowance": {"wall": 0.2},
                "entry": {"max_ramp_angle": 3, "helix_diameter": 8},
                "cutting": {"speed": "200 m/min", "chip_load": 0.05, "entry_feed": 200},
                "coolant": "flood",
                "direction": "climb",
            }
        },
        {"rest": {"tool": "small", "after": ["clear"], "count": 2, "radial_depth": "40%"}},
        {"finish_floor": {"tool": "small", "regions": ["boss", "lug"], "cutting": "auto"}},
        {"finish_walls": {"tool": "small", "spring_passes": 1, "compensation": "control"}},
        {"drill": {"tool": "T3", "at": [[10, 10], [190, 110]], "cycle": "peck", "peck": 2}},
        {
            "break_edges": {
                "tool": "T1",
                "width": 0.3,
                "stop_before": True,
                "about": "By hand if short",
            }
        },
    ],
    "general_tolerance": "ISO 2768-m",
    "inspection": [
        {"what": "Boss", "nominal": 20, "plus": 0.02, "minus": 0.02, "gauge": "micrometer"}
    ],
}

MEMBER: dict[str, Any] = {
    "spec": "job/1",
    "name": "bracket-3in",
    "from": "families/bracket.yaml",
    "with": {"tube": "3 in", "bosses": 3, "deep": True},
    "override": {"passes": {"finish": {"spring_passes": None}}},
}

FAMILY: dict[str, Any] = {
    "spec": "family/1",
    "name": "bracket",
    "parameters": {
        "tube": {"length": "2 in", "min": "1.25 in", "max": "4 in", "about": "Outside diameter"},
        "bosses": {"count": 3, "min": 1, "max": 8},
        "deep": {"choice": "shallow", "of": ["shallow", "deep"]},
        "wall": {"value": "${tube / 8}"},
    },
    "checks": [{"that": "${tube/2 + wall < 2.4 in}", "else": "The boss reaches the edge"}],
    "job": {key: value for key, value in JOB.items() if key not in ("spec", "name")},
}


def job() -> dict[str, Any]:
    """A copy to change."""
    return deepcopy(JOB)


def shop() -> dict[str, Any]:
    """A copy to change."""
    return deepcopy(SHOP)
