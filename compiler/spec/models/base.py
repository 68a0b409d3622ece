"""What all models share: closed, frozen, and rules about which keys go together.

`PICK` says of how many keys of a group must be given; it is checked here and published as JSON
Schema, so that editors and the compiler agree.
"""

from itertools import combinations
from typing import Annotated, Any, ClassVar, NamedTuple, Self, TypeVar

from pydantic import (
    BaseModel,
    ConfigDict,
    Discriminator,
    GetJsonSchemaHandler,
    Tag,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from compiler.spec.models.leaf import refused
from compiler.spec.models.scalars import Length, Pointer

Point = tuple[Length, Length]


class Pick(NamedTuple):
    """How many keys of a group must be given: from `low` to `high`."""

    keys: tuple[str, ...]
    low: int
    high: int

    def schema(self) -> dict[str, Any]:
        """The rule as JSON Schema."""
        exact = [{"required": list(keys)} for keys in combinations(self.keys, max(self.low, 1))]
        too_many = {
            "not": {
                "anyOf": [
                    {"required": list(keys)} for keys in combinations(self.keys, self.high + 1)
                ]
            }
        }
        if self.low == self.high:
            return {"oneOf": exact}
        if self.high >= len(self.keys):
            return {"anyOf": exact}
        return too_many if self.low == 0 else {"allOf": [{"anyOf": exact}, too_many]}


class Model(BaseModel):
    """A mapping of the language: unknown keys are refused, values are frozen."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, defer_build=True, protected_namespaces=()
    )

    PICK: ClassVar[tuple[Pick, ...]] = ()

    @model_validator(mode="after")
    def _keys_go_together(self) -> Self:
        for pick in self.PICK:
            given = [key for key in pick.keys if getattr(self, attribute(key)) is not None]
            if not pick.low <= len(given) <= pick.high:
                raise _wrong_pick(pick, given)
        return self

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        schema = handler.resolve_ref_schema(handler(core_schema))
        rules = [pick.schema() for pick in cls.PICK]
        if len(rules) == 1:
            schema.update(rules[0])
        elif rules:
            schema["allOf"] = rules
        return schema

    @property
    def kind(self) -> str:
        """Of the keys that exclude one another (the first group), the one that was given."""
        return next(key for key in self.PICK[0].keys if getattr(self, attribute(key)) is not None)


def attribute(key: str) -> str:
    """The attribute that holds a key; keys that Python reserves are spelt with an underscore."""
    return f"{key}_" if key in ("from", "with", "else") else key


def _wrong_pick(pick: Pick, given: list[str]) -> Exception:
    listed = ", ".join(f"`{key}`" for key in pick.keys)
    how_many = {1: "one", 2: "two", 3: "three"}.get(pick.high, str(pick.high))
    if len(given) > pick.high:
        found = ", ".join(f"`{key}`" for key in given)
        allowed = f"at most {how_many}" if pick.low < pick.high else f"exactly {how_many}"
        return refused(
            "E111", f"{found} do not go together", f"give {allowed} of {listed}", " ".join(given)
        )
    missing = f"none of {listed} is given" if not given else f"only `{given[0]}` is given"
    return refused("E110", missing, f"give {how_many} of {listed}", " ".join(given))


T = TypeVar("T")

# a name that points elsewhere, or the thing itself written out in place
NameOr = Annotated[
    Annotated[Pointer, Tag("<name>")] | Annotated[T, Tag("<written>")],
    Discriminator(lambda value: "<name>" if isinstance(value, str) else "<written>"),
]
