"""How leaves are read: numbers, whole numbers and text, each with its JSON Schema."""

import math
import re
from collections.abc import Callable
from functools import cache
from typing import Any

from pydantic import ValidationInfo
from pydantic_core import PydanticCustomError, core_schema


class Leaf:
    """How one kind of leaf is read, and its JSON Schema: metadata for `Annotated`.

    Says both directly. The library's own `PlainValidator` and `WithJsonSchema` say the same, but
    look at the function's signature for every field, which a command would feel at each start.
    """

    __slots__ = ("read", "schema")

    def __init__(
        self, read: Callable[[object, ValidationInfo], object], schema: dict[str, Any]
    ) -> None:
        self.read = read
        self.schema = schema

    def __get_pydantic_core_schema__(
        self, source: object, handler: object
    ) -> core_schema.CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core: object, handler: object) -> dict[str, Any]:
        return dict(self.schema)


def refused(code: str, message: str, help: str, keys: str = "") -> PydanticCustomError:
    """A validation error that carries its diagnostic; `keys` are the keys at fault, if any."""
    context = {"message": message, "help": help, "keys": keys}
    return PydanticCustomError(code, "{message}", context)


def number(low: float, high: float, *, shared: str = "") -> Leaf:
    """A bare number above `low` and at most `high`."""

    def read(value: object, info: ValidationInfo) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            example = f"{(low + min(high, low + 2)) / 2:g}"
            raise refused("E105", "expected a number", f"write a number, as `{example}`")
        if not math.isfinite(value) or not low < value <= high:
            raise refused(
                "E108",
                f"`{value:g}` is out of range",
                f"write a number of more than {low:g} and at most {high:g}",
            )
        return float(value)

    schema = {"type": "number", "exclusiveMinimum": low, "maximum": high}
    return Leaf(read, {"x-shared": shared, **schema} if shared else schema)


def whole(low: int, high: int) -> Leaf:
    """A whole number from `low` to `high`; `3.0` is one."""

    def read(value: object, info: ValidationInfo) -> int:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refused("E105", "expected a whole number", f"write a whole number, as `{low}`")
        if not math.isfinite(value) or not low <= value <= high or value != int(value):
            raise refused(
                "E108",
                f"`{value:g}` is not a whole number from {low} to {high}",
                f"write a whole number from {low} to {high}",
            )
        return int(value)

    return Leaf(read, {"type": "integer", "minimum": low, "maximum": high})


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    """Patterns of many letters take their time to compile, so only those that are met."""
    return re.compile(pattern)


POINTER = r"^[^\x00-\x1f\x7f]{1,80}$"


def pointer(help: str) -> Leaf:
    """A name that points to what stands elsewhere: any line of text.

    One that is not well formed points nowhere, and that finding lists the names there are.
    """
    return text(POINTER, 80, help, shared="pointer")


def text(
    pattern: str | None, limit: int, help: str = "", *, shared: str = "", code: str = "E109"
) -> Leaf:
    """Text of at most `limit` characters; `code` and `help` tell what does not fit the pattern."""

    def read(value: object, info: ValidationInfo) -> str:
        if not isinstance(value, str):
            raise refused("E105", "expected text", "put quotes around it to make it text")
        if len(value) > limit:
            raise refused("E114", f"the text has {len(value)} characters", f"at most {limit}")
        if pattern is not None and not _compiled(pattern).search(value):
            shown = value if len(value) <= 40 else value[:37] + "..."
            what = "not a well-formed name" if code == "E109" else "not allowed here"
            raise refused(code, f"`{shown}` is {what}", help)
        return value

    schema: dict[str, Any] = {"x-shared": shared} if shared else {}
    schema |= {"type": "string", "maxLength": limit}
    if pattern is not None:
        schema["pattern"] = pattern
    return Leaf(read, schema)
