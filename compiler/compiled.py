"""Loops over numbers that are turned into machine code the first time they run.

What a path meets is asked for step by step and cell by cell: each answer hangs on the one before,
so no array of them can be worked out at once. Such loops are written as plain functions of numbers
and arrays and marked `@compiled`. The first build after an installation compiles them, half a
minute once; the code is kept in the user's cache, not in the installed package: an installer
would not take it away with the rest, and what stayed would pass for a package. It is kept as long
as the module's own file stays as it is: so a compiled function uses nothing of the package but
what stands in its own file (a test says so).

Arithmetic is as written: nothing is reordered or fused, so results are the same as interpreted.
Division by zero gives an infinity or no number, as with arrays.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar, cast

import numba

PLACES = "UserWideCacheLocator,InTreeCacheLocator"  # where code is kept: the first that can be
Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """The function as machine code, compiled when it is first called with arguments of a kind."""
    try:
        with _in_the_users_cache():
            return _compiler(cache=True)(function)
    except RuntimeError:  # no place to keep the code in
        return _compiler(cache=False)(function)


def _compiler(*, cache: bool) -> Callable[[Function], Function]:
    # what it makes is called like the function itself, and typed so
    return cast(
        "Callable[[Function], Function]",
        numba.njit(cache=cache, error_model="numpy", fastmath=False),
    )


@contextmanager
def _in_the_users_cache() -> Iterator[None]:
    """The place where code is kept, but for a user who has named one; then as it was."""
    config: Any = numba.config
    before = getattr(config, "CACHE_LOCATOR_CLASSES", "")
    if not (before or config.CACHE_DIR):
        config.CACHE_LOCATOR_CLASSES = PLACES
    try:
        yield
    finally:
        config.CACHE_LOCATOR_CLASSES = before
