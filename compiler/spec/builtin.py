"""Built-in machines and materials as a spec would write them, for `expand`."""

from __future__ import annotations

import math

from compiler.job import Machine, Material
from compiler.units.number import short


def machine(value: Machine) -> dict[str, object]:
    """A machine by the keys of the language, without its name. Units are written out."""
    spindle: dict[str, object] = {"max_rpm": value.max_rpm}
    if value.min_rpm > 0:
        spindle["min_rpm"] = value.min_rpm
    if value.power is not None:
        spindle["power"] = f"{short(value.power, 9)} kW"
    if value.peak_torque is not None:
        spindle["peak_torque"] = f"{short(value.peak_torque, 9)} N m"
    if value.torque_curve:
        spindle["torque_curve"] = [
            [short(rpm, 9), f"{short(torque, 9)} N m"] for rpm, torque in value.torque_curve
        ]
    found: dict[str, object] = {
        "spindle": spindle,
        "feed": {
            "max": f"{short(value.max_feed, 9)} mm/min",
            "rapid": f"{short(value.rapid, 9)} mm/min",
            "acceleration": f"{short(value.acceleration, 9)} mm/s2",
        },
        "tool_change": value.tool_change,
        "change_time": value.change_time,
    }
    if value.travel is not None:
        x, y, z = (f"{short(length, 9)} mm" for length in value.travel)
        found["axes"] = {"x": x, "y": y, "z": z}
    style = value.program
    found["program"] = {
        "standard": style.standard,
        "line_numbers": style.line_numbers,
        "arcs": style.arcs,
        "comments": style.comments,
        "max_line_length": style.max_line_length,
        "length_offset": style.length_offset,
    }
    return found


def material(value: Material) -> dict[str, object]:
    """A material by the keys of the language, without its name. Units are written out."""
    found: dict[str, object] = {}
    if value.title:
        found["about"] = value.title
    if value.iso_group:
        found["iso_group"] = value.iso_group
    if value.hardness:
        found["hardness"] = value.hardness
    found["specific_cutting_force"] = f"{short(value.specific_cutting_force, 9)} N/mm2"
    found["cutting_speed"] = {
        tool: f"{short(speed, 9)} m/min" for tool, speed in value.cutting_speed.items()
    }
    found["chip_load"] = {
        tool: [[f"{short(diameter, 9)} mm", f"{short(chip, 9)} mm"] for diameter, chip in rows]
        for tool, rows in value.chip_load.items()
    }
    found["max_ramp_angle"] = float(short(math.degrees(value.max_ramp_angle), 9))
    found["slot_depth"] = value.slot_depth
    found["side_depth"] = value.side_depth
    if value.cautions:
        found["cautions"] = list(value.cautions)
    return found
