"""E1 codes: a file that is YAML but not the language."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {}
