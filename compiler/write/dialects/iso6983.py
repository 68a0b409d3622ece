"""ISO 6983-1 word-address text, written so that conservative controls take it too.

From memory of the standard, not opened: `%` is program start. G20/G21 for the unit rather than the
standard's G70/G71, an O word for the program's number, G73 for pecks that break the chip, and no
arc beyond half a turn: common practice, no source.
"""

import math
from types import MappingProxyType

from compiler.write.dialects.model import CYCLES, Dialect

ISO6983 = Dialect(
    name="iso6983",
    title="ISO 6983-1",
    percent_lines=True,
    largest_sweep=math.pi,
    program_word=True,
    cycles=MappingProxyType({**CYCLES, "chip_break": "G73"}),
)
