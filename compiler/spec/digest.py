"""One number for what a job says: formatting, comments, key order and spelling do not change it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace

from compiler.diagnostics import Span
from compiler.job import Job
from compiler.units.number import fixed

# where a thing came from is not what it is
_LEFT_OUT = {"digest", "spec_file", "origin", "spans", "sources", "crib", "effort"}
# what only some jobs have: it says nothing where it is not there
_IF_ANY = {"setup", "table"}
DECIMALS = 6  # of a millimetre or radian: far below what a mill can do


def digest_of(*setups: Job) -> str:
    """SHA-256 of a resolved job, hex, all of its setups. Places in files do not count.

    The crib counts only where a cutter is still to be chosen from it.
    """
    return _of_all(
        [
            _canonical(job, frozenset(_LEFT_OUT - {"crib"} if job.open_passes else _LEFT_OUT))
            for job in setups
        ]
    )


def digest_with_places(*setups: Job) -> str:
    """SHA-256 of all that outputs are made from: the resolved job and the places of its values,
    which the plan and the evidence name. Cutters that the job does not use are named in findings
    alone, so they are left out, unless one is still to be chosen.
    """
    used = [job if job.open_passes else replace(job, crib=()) for job in setups]
    return _of_all([_canonical(replace(job, effort=1), frozenset({"digest"})) for job in used])


def _of_all(setups: list[object]) -> str:
    return _digest(setups[0] if len(setups) == 1 else setups)


def _digest(value: object) -> str:
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _canonical(value: object, left_out: frozenset[str]) -> object:
    """The value as JSON can hold it, numbers as decimal text."""
    match value:
        case None | bool() | str():
            return value
        case int() | float():
            return fixed(value, DECIMALS)
        case Mapping():
            return {str(key): _canonical(item, left_out) for key, item in value.items()}
        case tuple() | list():
            return [_canonical(item, left_out) for item in value]
        case Span():
            return [value.file, value.line, value.column, value.end_line, value.end_column]
        case _ if is_dataclass(value):
            return {
                "is": type(value).__name__,
                **{
                    item.name: _canonical(getattr(value, item.name), left_out)
                    for item in fields(value)
                    if item.name not in left_out
                    and not (item.name in _IF_ANY and getattr(value, item.name) is None)
                },
            }
        case _:
            raise TypeError(f"{type(value).__name__} has no canonical form")
