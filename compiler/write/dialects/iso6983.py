"""ISO 6983-1 word-address text, written so that conservative controls take it too.

From memory of the standard, not opened: `%` is program start. G20/G21 for the unit rather than the
standard's G70/G71, and no arc beyond half a turn: common practice, no source.
"""

import math

from compiler.write.dialects.model import Dialect

ISO6983 = Dialect(
    name="iso6983",
    title="ISO 6983-1",
    percent_lines=True,
    largest_sweep=math.pi,
)
