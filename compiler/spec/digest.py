"""One number for what a job says: formatting, comments, key order and spelling do not change it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass

from compiler.diagnostics import Span
from compiler.job import Job
from compiler.units.number import fixed

# where a thing came from is not what it is
_LEFT_OUT = {"digest", "spec_file", "origin", "spans", "sources", "crib"}
DECIMALS = 6  # of a millimetre or radian: far below what a mill can do


def digest_of(job: Job) -> str:
    """SHA-256 of the resolved job, hex. Places in files do not count."""
    text = json.dumps(_canonical(job), sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _canonical(value: object) -> object:
    """The value as JSON can hold it, numbers as decimal text."""
    match value:
        case None | bool() | str():
            return value
        case int() | float():
            return fixed(value, DECIMALS)
        case Mapping():
            return {str(key): _canonical(item) for key, item in value.items()}
        case tuple() | list():
            return [_canonical(item) for item in value]
        case Span():
            return None
        case _ if is_dataclass(value):
            return {
                "is": type(value).__name__,
                **{
                    item.name: _canonical(getattr(value, item.name))
                    for item in fields(value)
                    if item.name not in _LEFT_OUT
                },
            }
        case _:
            raise TypeError(f"{type(value).__name__} has no canonical form")
