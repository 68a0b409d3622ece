"""A program text, read as a control would read it. Shares no code with the writer.

program = read("G21 G17 G90 G94\\nG0 X0 Y0\\nM30\\n").value
"""

from compiler.read.columns import Columns, columns
from compiler.read.model import Block, Motion, Place, Program, State
from compiler.read.placed import placed
from compiler.read.reader import Dialect, read

__all__ = [
    "Block",
    "Columns",
    "Dialect",
    "Motion",
    "Place",
    "Program",
    "State",
    "columns",
    "placed",
    "read",
]
