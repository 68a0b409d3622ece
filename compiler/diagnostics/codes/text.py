"""E0 codes: what goes wrong in the text of a file, before it is understood as a job."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {}
