"""Loops over numbers that are turned into machine code the first time they run.

What a path meets is asked for step by step and cell by cell: each answer hangs on the one before,
so no array of them can be worked out at once. Such loops are written as plain functions of numbers
and arrays and marked `@compiled`. The first build after an installation compiles them, half a
minute once; the code is kept in the user's cache, not in the installed package: an installer
would not take it away with the rest, and what stayed would pass for a package. It is kept by what
the module's file says and by its name, wherever that is installed: a file that an upgrade leaves as
it is is not compiled again. So a compiled function uses nothing of the package but what stands in
its own file (a test says so).

Arithmetic is as written: nothing is reordered or fused, so results are the same as interpreted.
Division by zero gives an infinity or no number, as with arrays.

Compiling is what a loop costs whoever installs the program. `np.empty` and `row[:] = 0` cost a
tenth of what `np.zeros`, `np.full`, `np.ones` or a `sum()` do, which are compiled themselves.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from contextlib import suppress
from functools import cache, cached_property
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
import numpy as np
from numba.core.caching import (
    CompileResultCacheImpl,
    FunctionCache,
    InTreeCacheLocator,
    UserProvidedCacheLocator,
    UserWideCacheLocator,
)
from numba.core.registry import CPUDispatcher

OPTIONS = {"nopython": True, "boundscheck": None, "error_model": "numpy", "fastmath": False}
Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """The function as machine code, compiled when it is first called with arguments of a kind."""
    made = _Compiled(py_func=function, targetoptions={**OPTIONS, "no_cfunc_wrapper": True})
    with suppress(RuntimeError, OSError):  # no place to keep the code in: each process compiles it
        made.enable_caching()
    return cast("Function", made)  # it is called like the function itself, and typed so


class _Compiled(CPUDispatcher):
    """A compiled function as Python calls it.

    Another compiled function calls it without the shell that takes Python's arguments apart, and
    has it in its own code: no shell is made for that and nothing kept, a quarter of all compiling.
    """

    def enable_caching(self) -> None:
        self._cache = _Cache(self.py_func)  # type: ignore[no-untyped-call]

    @cached_property
    def _inner(self) -> Any:
        shells = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
        return _Inner(py_func=self.py_func, targetoptions={**OPTIONS, **shells})

    @property
    def _numba_type_(self) -> Any:
        """What the function's name stands for in another compiled function."""
        return numba.types.Dispatcher(self._inner)


class _Inner(CPUDispatcher):
    """A compiled function as another one calls it: once, not once more for each constant given."""

    def get_call_template(self, args: Any, kws: Any) -> Any:
        general: Any = numba.types.unliteral
        named = {name: general(each) for name, each in dict(kws).items()}
        return super().get_call_template([general(each) for each in args], named)


class _ByContent:
    """Where code is kept: in a folder named after all that it hangs on."""

    _cache_path: str

    def __init__(self, py_func: Function, py_file: str) -> None:
        super().__init__(py_func, py_file)  # type: ignore[call-arg]
        folder = f"standproud_{Path(py_file).stem}_{_digest(py_func.__module__, py_file)}"
        self._cache_path = str(Path(self._cache_path).with_name(folder))

    def get_source_stamp(self) -> str:
        return "see the folder"


class _InTheUsersCache(_ByContent, UserWideCacheLocator):
    pass


class _WhereTheUserSays(_ByContent, UserProvidedCacheLocator):
    pass


class _Places(CompileResultCacheImpl):  # the first of them that can be
    _locator_classes = [_WhereTheUserSays, _InTheUsersCache, InTreeCacheLocator]  # noqa: RUF012


class _Cache(FunctionCache):
    _impl_class = _Places


@cache
def _digest(module: str, file: str) -> str:
    """Of a module's file, of this one, which says how it is compiled, and of what compiles it.

    And of the module's name: code that is kept looks for what it calls by that.
    """
    found = hashlib.sha256(f"{module} {numba.__version__} {np.__version__}".encode())
    for path in (__file__, file):
        found.update(Path(path).read_bytes())
    return found.hexdigest()[:32]
