"""The metals we know, by standard designation, each number with where it comes from.

Cutting force is the handbooks' unit power for a sharp tool at a chip of about 0.3 mm, N/mm2; where
sources differ, the larger. Cutting speeds are m/min for uncoated solid end mills, chosen from the
middle of what shops use; the published high-speed steel values are those of J. Carvill, Mechanical
Engineer's Data Handbook, p. 187. All are starting values.
"""

import math
from typing import Literal

from compiler.job.model import Material, ToolMaterial
from compiler.knowledge.bands import HARD, NON_FERROUS, STEEL_AND_IRON, TOUGH, Band, chip_loads

PRACTICE = "common practice, no source"
HANDBOOK = "Machinery's Handbook, 31st ed., p. 1147, table 1b"
GROOVER = "Groover, Fundamentals of Modern Manufacturing, unit power table; from memory"
CARVILL = "J. Carvill, Mechanical Engineer's Data Handbook"
ISO_513 = "ISO 513:2012, from memory"

CHIPS = "Chips are sharp and hot: hook and brush, never hands or compressed air."
STRINGY = "Long chips wind round the cutter: stop the spindle before clearing them."
WORK_HARDENS = "Work-hardens: keep the cutter cutting, never let it rub or dwell."
BRITTLE_EDGE = (
    "Hard steel breaks edges: rigid holding, light cuts, no dwelling; splinters fly, guards shut."
)
DUSTY = "Fine dust: keep it out of lungs, ways and coolant; extract it at the cutter."
MAGNESIUM_FIRE = (
    "Fire: magnesium chips can burn fiercely. Sharp tools, thick chips, no dwelling or rubbing; "
    "clear chips often; keep a metal-fire agent at hand; never put water on a magnesium fire."
)
MAGNESIUM_COOLANT = (
    "Water-mixed coolant gives off hydrogen with magnesium chips: cut dry or with neutral mineral "
    "oil as the machine's and the material's makers allow."
)
TITANIUM_FIRE = (
    "Fire: fine titanium chips can burn. Flood coolant, sharp tools, clear chips often, keep a "
    "metal-fire agent at hand."
)
COBALT_NICKEL = "Dust and fumes of nickel and cobalt harm: flood coolant, no dry grinding."
FIRE_SOURCE = "DOE-HDBK-1081-94; defer to the local fire code and the material's data sheet"

Group = Literal["P", "M", "K", "N", "S", "H"]


def _metal(
    name: str,
    title: str,
    group: Group,
    hardness: str,
    force: tuple[float, str],
    hss: tuple[float, str] | None,
    carbide: float,
    chip: tuple[Band, float],
    ramp: float,
    depths: tuple[float, float],
    cautions: tuple[str, ...] = (),
    cautions_source: str = PRACTICE,
) -> Material:
    """One row: force and speed with their sources, place in the chip band, ramp in degrees.

    No speed for high-speed steel means that it should not be used.
    """
    speeds: dict[ToolMaterial, float] = {"carbide": carbide}
    loads = chip_loads(*chip)
    if hss is None:
        del loads["hss"]
    else:
        speeds = {"hss": hss[0], **speeds}
    return Material(
        name=name,
        title=title,
        iso_group=group,
        hardness=hardness,
        specific_cutting_force=force[0],
        cutting_speed=speeds,
        chip_load=loads,
        max_ramp_angle=math.radians(ramp),
        slot_depth=depths[0],
        side_depth=depths[1],
        cautions=(*cautions, CHIPS),
        sources={
            "iso_group": ISO_513,
            "hardness": "usual for the condition, from memory",
            "specific_cutting_force": force[1],
            **({} if hss is None else {"cutting_speed.hss": hss[1]}),
            "cutting_speed.carbide": PRACTICE,
            "chip_load": PRACTICE,
            "max_ramp_angle": PRACTICE,
            "slot_depth": PRACTICE,
            "side_depth": PRACTICE,
            "cautions": cautions_source,
        },
    )


_ALUMINIUM_FORCE = (900.0, f"{CARVILL}, p. 192: 0.9 W s/mm3, read so from memory")
_MILLING_SPEED = f"{CARVILL}, p. 187"
_TOOL_STEEL_FORCE = (
    2800.0,
    f"{GROOVER}, alloy steel 251-300 HB; Carvill p. 192 prints 7.0 W s/mm3 for a tool steel of "
    "unstated hardness",
)

ALUMINIUMS = (
    _metal("aluminium_6061", "Aluminium EN AW-6061-T6", "N", "95 HB", _ALUMINIUM_FORCE,
           (100, _MILLING_SPEED), 300, (NON_FERROUS, 0.5), 3, (0.5, 1.5)),
    _metal("aluminium_7075", "Aluminium EN AW-7075-T6", "N", "150 HB", _ALUMINIUM_FORCE,
           (90, PRACTICE), 280, (NON_FERROUS, 0.5), 3, (0.5, 1.5)),
    _metal("aluminium_a380", "Cast aluminium A380.0", "N", "80 HB", _ALUMINIUM_FORCE,
           (60, PRACTICE), 180, (NON_FERROUS, 0.4), 3, (0.5, 1.5)),
)  # fmt: skip

COPPER_ALLOYS = (
    _metal("brass_c360", "Brass C36000, CuZn36Pb3", "N", "80 HRB",
           (2200, f"{GROOVER}; Carvill p. 192 has 1.6 W s/mm3"),
           (45, f"{_MILLING_SPEED}, hard brass"), 180, (NON_FERROUS, 0.4), 3, (0.5, 1.0)),
    _metal("copper_c110", "Copper C11000, Cu-ETP", "N", "50 HRF", (2700, PRACTICE),
           (45, PRACTICE), 140, (NON_FERROUS, 0.3), 3, (0.4, 1.0), (STRINGY,)),
    _metal("bronze_c932", "Bearing bronze C93200, CuSn7Zn4Pb7", "N", "65 HB", (2200, GROOVER),
           (35, f"{_MILLING_SPEED}, bronze"), 140, (NON_FERROUS, 0.3), 3, (0.4, 1.0)),
)  # fmt: skip

STEELS = (
    _metal("steel_1018", "Mild steel 1018, C18", "P", "126 HB",
           (1880, f"{HANDBOOK}: plain carbon 120-140 HB"),
           (28, f"{_MILLING_SPEED}, low-carbon steel"), 120, (STEEL_AND_IRON, 0.5), 2,
           (0.4, 1.0)),
    _metal("steel_s235", "Structural steel S235JR", "P", "120 HB",
           (1880, f"{HANDBOOK}: plain carbon 120-140 HB"),
           (28, f"{_MILLING_SPEED}, low-carbon steel"), 120, (STEEL_AND_IRON, 0.5), 2,
           (0.4, 1.0), (STRINGY,)),
    _metal("steel_1045", "Medium-carbon steel 1045, C45", "P", "200 HB",
           (2320, f"{HANDBOOK}: plain carbon 200-220 HB"),
           (25, PRACTICE), 100, (STEEL_AND_IRON, 0.4), 2, (0.4, 1.0)),
    _metal("steel_4140", "Alloy steel 4140, 42CrMo4, pre-hardened", "P", "300 HB",
           (2480, f"{HANDBOOK}: alloy 300-320 HB"),
           (15, PRACTICE), 85, (STEEL_AND_IRON, 0.3), 2, (0.3, 1.0)),
    _metal("tool_steel_o1", "Tool steel O1, 100MnCrW4, annealed", "P", "200 HB",
           _TOOL_STEEL_FORCE, (14, PRACTICE), 70, (STEEL_AND_IRON, 0.25), 2, (0.3, 1.0)),
    _metal("tool_steel_a2", "Tool steel A2, X100CrMoV5, annealed", "P", "220 HB",
           _TOOL_STEEL_FORCE, (13, PRACTICE), 65, (STEEL_AND_IRON, 0.2), 1.5, (0.25, 1.0)),
    _metal("tool_steel_d2", "Tool steel D2, X153CrMoV12, annealed", "P", "230 HB",
           _TOOL_STEEL_FORCE, (11, PRACTICE), 55, (STEEL_AND_IRON, 0.1), 1.5, (0.25, 1.0)),
    _metal("stainless_304", "Stainless steel 304, X5CrNi18-10", "M", "170 HB",
           (2800, f"{GROOVER}: stainless 150-250 HB"),
           (16, PRACTICE), 75, (TOUGH, 0.5), 1, (0.3, 1.0), (WORK_HARDENS, STRINGY)),
    _metal("stainless_316", "Stainless steel 316, X5CrNiMo17-12-2", "M", "170 HB",
           (2800, f"{GROOVER}: stainless 150-250 HB"),
           (15, PRACTICE), 70, (TOUGH, 0.5), 1, (0.3, 1.0), (WORK_HARDENS, STRINGY)),
)  # fmt: skip

HARDENED = (
    _metal("steel_hardened", "Tool steel H13, X40CrMoV5-1, hardened", "H", "50 HRC",
           (4800, "from memory, no table at hand; Groover's last row, 351-400 HB, has 4.4 J/mm3"),
           None, 60, (HARD, 0.4), 1, (0.1, 0.5), (BRITTLE_EDGE,)),
)  # fmt: skip

IRONS = (
    _metal("iron_gjl_250", "Grey cast iron EN-GJL-250", "K", "200 HB",
           (1900, f"{CARVILL}, p. 192, cast iron; the larger of it and Groover's 1.6"),
           (20, f"{_MILLING_SPEED}, cast iron"), 100, (STEEL_AND_IRON, 0.5), 2, (0.4, 1.0),
           (DUSTY,)),
    _metal("iron_gjs_400", "Ductile cast iron EN-GJS-400-15", "K", "160 HB",
           (1900, f"{CARVILL}, p. 192, cast iron"),
           (20, PRACTICE), 90, (STEEL_AND_IRON, 0.4), 2, (0.4, 1.0), (DUSTY,)),
)  # fmt: skip

OTHERS = (
    _metal("titanium_6al4v", "Titanium Ti-6Al-4V", "S", "330 HB",
           (1800, "Kienzle pair 1370 N/mm2, 0.21 at a chip of 0.3 mm; from memory"),
           (10, PRACTICE), 50, (TOUGH, 0.4), 1, (0.25, 1.0),
           (TITANIUM_FIRE, WORK_HARDENS), FIRE_SOURCE),
    _metal("nickel_718", "Nickel alloy 718, NiCr19Fe19Nb5Mo3", "S", "380 HB",
           (4000, "from memory, no table at hand"),
           (4, PRACTICE), 22, (TOUGH, 0.2), 1, (0.2, 0.8), (WORK_HARDENS, COBALT_NICKEL)),
    _metal("magnesium_az31", "Magnesium AZ31B", "N", "50 HB", (400, GROOVER),
           (120, PRACTICE), 350, (NON_FERROUS, 0.6), 3, (0.5, 1.5),
           (MAGNESIUM_FIRE, MAGNESIUM_COOLANT), FIRE_SOURCE),
)  # fmt: skip

METALS = (*ALUMINIUMS, *COPPER_ALLOYS, *STEELS, *HARDENED, *IRONS, *OTHERS)
