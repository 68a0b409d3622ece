"""E4 codes: what the planner can't do with the tools and stock it was given."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {}
