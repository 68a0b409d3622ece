"""E6 and E9 codes: files that can't be read or written, and faults of the tool itself."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {}
