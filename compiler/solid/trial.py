"""Work of the kernel tried in a child process first, which may die of it in our stead.

A damaged model can bring the kernel down past all exceptions, or keep it going round for ever.
"""

from __future__ import annotations

import os
from collections.abc import Callable

SECONDS = 120
"""Of the processor, for reading one model: the largest that is read takes a fraction of that."""


def survives(work: Callable[[], object]) -> bool:
    """Whether the work comes to an end, with a result or an exception, in a child process.

    Where the system knows no fork the work is not tried: True.
    """
    if not hasattr(os, "fork"):
        return True
    child = os.fork()
    if child:
        _, status = os.waitpid(child, 0)
        return status == 0
    _be_the_child(work)
    return False  # never reached


def _be_the_child(work: Callable[[], object]) -> None:
    import contextlib
    import faulthandler
    import resource

    try:
        faulthandler.disable()  # a death is told by the parent, and by it alone
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        with contextlib.suppress(BaseException):
            work()
    finally:
        os._exit(0)
