"""E2 codes: names that point nowhere, and keys that do not go together."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {}
