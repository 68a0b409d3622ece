"""The types of the values at the leaves of a spec: quantities, numbers, names and texts.

Each validates what YAML gave, converts it to the unit used inside, and carries its own JSON Schema,
made from the same pattern. What can't be read raises `leaf.refused`, whose type is our code and
whose context holds the help; `spec.errors` turns it into a diagnostic.
"""

from typing import Annotated

from pydantic import Field

from compiler.spec.models import amounts
from compiler.spec.models.amounts import Amount as Amount
from compiler.spec.models.amounts import angle_leaf, depth_leaf, quantity_leaf
from compiler.spec.models.leaf import number, pointer, text, whole
from compiler.spec.models.leaf import refused as refused
from compiler.units.quantity import LIMIT

# Latin, Greek and Cyrillic letters in their composed forms, so that a name has one spelling
LETTERS = (
    "A-Za-z\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u024f\u0386\u0388-\u03ce\u0400-\u0481\u048a-\u052f"
)
NAME = f"[{LETTERS}][{LETTERS}0-9 _-]{{0,39}}"
NAME_PATTERN = f"^{NAME}$"
FILE_NAME_PATTERN = r"^[A-Za-z0-9][A-Za-z0-9_-]{0,59}$"
PARAMETER_PATTERN = r"^[a-z][a-z0-9_]{0,39}$"
EXPRESSION_PATTERN = r"^\$\{[^{}]*\}$"
BLOCK_PATTERN = r"^[ -~]{1,120}$"

Length = Annotated[float, quantity_leaf(amounts.InLength, "any")]
PositiveLength = Annotated[float, quantity_leaf(amounts.InLength, "positive")]
# a length that may be nothing but not less
Room = Annotated[float, quantity_leaf(amounts.InLength, "not negative")]
RadialDepth = Annotated[float, depth_leaf()]
Angle = Annotated[float, quantity_leaf(amounts.InAngle, "any")]
WithinHalfTurn = Annotated[float, angle_leaf(180)]  # a cutter's engaged angle, a drill's point
WithinQuarterTurn = Annotated[float, angle_leaf(90)]  # a ramp
Feed = Annotated[float, quantity_leaf(amounts.InFeed, "positive")]
Speed = Annotated[float, quantity_leaf(amounts.InSpeed, "positive")]
Power = Annotated[float, quantity_leaf(amounts.InPower, "positive")]
Torque = Annotated[float, quantity_leaf(amounts.InTorque, "positive")]
Acceleration = Annotated[float, quantity_leaf(amounts.InAcceleration, "positive")]
Time = Annotated[float, quantity_leaf(amounts.InTime, "not negative")]
CuttingForce = Annotated[float, quantity_leaf(amounts.InCuttingForce, "positive")]
UnitPower = Annotated[float, quantity_leaf(amounts.InUnitPower, "positive")]

Rpm = Annotated[float, number(0, 200_000, shared="spindle speed")]
Fraction = Annotated[float, number(0, 20)]
YesNo = Annotated[bool, Field(strict=True)]
WholeNumber = Annotated[int, whole(1 - LIMIT, LIMIT - 1)]
Flutes = Annotated[int, whole(1, 20)]
ToolNumber = Annotated[int, whole(1, 9999)]
Count = Annotated[int, whole(1, 500)]
SmallCount = Annotated[int, whole(0, 20)]
Levels = Annotated[int, whole(1, 10)]
Effort = Annotated[int, whole(1, 1000)]
QuarterTurns = Annotated[int, whole(0, 3)]
Decimals = Annotated[int, whole(1, 6)]
ProgramNumber = Annotated[int, whole(1, 99999)]
LineLength = Annotated[int, whole(60, 256)]

Text = Annotated[str, text(None, 200)]
LongText = Annotated[str, text(None, 1000)]
_NAMED = (
    "a name begins with a letter and has letters, digits, space, `-` and `_`, at most 40 of them"
)
Name = Annotated[str, text(NAME_PATTERN, 1000, _NAMED, shared="name")]
# of a machine or a material that stands elsewhere
Pointer = Annotated[str, pointer(_NAMED)]
FileName = Annotated[
    str,
    text(
        FILE_NAME_PATTERN,
        1000,
        "it names the output files: letters, digits, `-` and `_` only, at most 60 of them",
    ),
]
ParameterName = Annotated[
    str,
    text(
        PARAMETER_PATTERN,
        1000,
        "a parameter's name has small letters, digits and `_`, and begins with a letter",
    ),
]
FilePath = Annotated[
    str, text(r"^[^\x00-\x1f]+$", 300, "write a path relative to this file", code="E114")
]
Block = Annotated[
    str,
    text(BLOCK_PATTERN, 1000, "one block of ASCII text, at most 120 characters", code="E114"),
]
DatumText = Annotated[
    str,
    text(
        r"^(?:stock (?:lower_left|lower_right|upper_left|upper_right|centre)"
        rf"|region {NAME} centre)$",
        1000,
        "write a point as `[0, 0]`, or `stock lower_left`, `stock lower_right`, "
        "`stock upper_left`, `stock upper_right`, `stock centre`, or `region NAME centre`",
        code="E106",
    ),
]
Expression = Annotated[
    str,
    text(
        EXPRESSION_PATTERN,
        500,
        "write an expression as `${ tube / 2 }`",
        shared="expression",
        code="E114",
    ),
]
