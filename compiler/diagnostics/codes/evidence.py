"""E5 codes: an obligation that the emitted program does not hold."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {}
