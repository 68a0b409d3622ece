"""E3 codes: shapes, outlines, drawings and models."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {}
