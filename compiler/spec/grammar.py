"""Looking things up in the models for messages: which keys a place allows, what a key means."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

Loc = Sequence[str | int]


def models_at(model: type[BaseModel], loc: Loc) -> list[type[BaseModel]]:
    """The models that may stand at a place, by pydantic's way of naming it (tags in `<>`)."""
    candidates: list[Any] = [model]
    for step in loc:
        if isinstance(step, str) and step.startswith("<"):
            continue
        candidates = [child for c in candidates for arm in _arms(c) for child in _inside(arm, step)]
    return [arm for c in candidates for arm in _arms(c) if _is_model(arm)]


def fields(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """The fields of a model by the key that authors write."""
    model.model_rebuild()
    return {info.alias or name: info for name, info in model.model_fields.items()}


def keys_at(model: type[BaseModel], loc: Loc) -> dict[str, FieldInfo]:
    """Every key that may stand in the mapping at a place."""
    found: dict[str, FieldInfo] = {}
    for candidate in models_at(model, loc):
        for key, info in fields(candidate).items():
            found.setdefault(key, info)
    return found


def keys_inside(info: FieldInfo) -> set[str]:
    """The keys of the mapping that a field holds; none where it holds something else."""
    arms = [arm for arm in _arms(info.annotation) if _is_model(arm)]
    return {key for arm in arms for key in fields(arm)}


def _is_model(annotation: object) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _arms(annotation: Any) -> Iterator[Any]:
    """The alternatives of a type, wrappers taken off."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _arms(get_args(annotation)[0])
    elif origin in (Union, UnionType):
        for arm in get_args(annotation):
            yield from _arms(arm)
    else:
        yield annotation


def _inside(arm: Any, step: str | int) -> Iterator[Any]:
    """What may stand under a key or index of one alternative."""
    if _is_model(arm):
        info = fields(arm).get(str(step))
        if info is not None:
            yield info.annotation
        return
    inner = get_args(arm)
    match get_origin(arm):
        case origin if origin is dict and len(inner) == 2:
            yield inner[1]
        case origin if origin is tuple and inner:
            if len(inner) == 2 and inner[1] is Ellipsis:
                yield inner[0]
            elif isinstance(step, int) and step < len(inner):
                yield inner[step]
        case _:
            pass
