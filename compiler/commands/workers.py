"""Work handed out side by side: to processes of this machine, or to a cluster that is given.

What is handed out is a pure function with its values, through joblib's backends; results come back
as they are done, each with its number.
"""

from __future__ import annotations

import multiprocessing
import os
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from typing import Any, TypeVar

from compiler.commands.fresh import tool_digest

T = TypeVar("T")
WATCH = 1.0  # s between looks for the parent
Task = tuple[int, tuple[Any, ...]]  # its number, and what the function is given


class NoClusterError(Exception):
    """The cluster can't be reached, or this installation can't speak to one."""


def cores() -> int:
    """Processors that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def side_by_side(
    work: Callable[..., T], tasks: Iterable[Task], *, count: int, cluster: str = ""
) -> Iterator[tuple[int, T | None]]:
    """Results as they come, with their tasks' numbers; None where the system ended the process
    that worked on a task.

    Args:
        work: A function that can be found by name in another process.
        tasks: Taken as they are needed, so that making them goes beside the work.
        count: Processes; 1 works here and now.
        cluster: Address of a Dask scheduler, as `tcp://10.0.0.5:8786`; empty for this machine.

    Raises:
        NoClusterError: Where the cluster can't be had.
    """
    if cluster:
        yield from _on_cluster(work, tasks, cluster)
    elif count <= 1:
        for number, given in tasks:
            yield number, work(*given)
    else:
        yield from _on_processes(work, tasks, count)


def _on_processes(
    work: Callable[..., T], tasks: Iterable[Task], count: int
) -> Iterator[tuple[int, T | None]]:
    """Processes of this machine. Where one is ended from outside all go down with it, so what was
    in their hands is done again, each task by itself: only the one that brought them down is lost.
    """
    from concurrent.futures.process import BrokenProcessPool

    left = iter(tasks)
    is_done = False
    while not is_done:
        in_hand: dict[int, tuple[Any, ...]] = {}
        try:
            for number, result in _run(_processes(count), work, _noted(left, in_hand)):
                del in_hand[number]
                yield number, result
            is_done = True
        except BrokenProcessPool:
            for number, given in in_hand.items():
                yield number, _alone(work, given)


def _noted(tasks: Iterator[Task], in_hand: dict[int, tuple[Any, ...]]) -> Iterator[Task]:
    for number, given in tasks:
        in_hand[number] = given
        yield number, given


def _alone(work: Callable[..., T], given: tuple[Any, ...]) -> T | None:
    """One task in a process of its own; None where that is ended too."""
    from concurrent.futures.process import BrokenProcessPool

    try:
        ((_, result),) = _run(_processes(2), work, [(0, given)])  # one would be this very process
    except BrokenProcessPool:
        return None
    return result


def _processes(count: int) -> Any:
    from joblib import Parallel

    return Parallel(n_jobs=count, backend="loky", batch_size=1, return_as="generator_unordered")


def _on_cluster(
    work: Callable[..., T], tasks: Iterable[Task], address: str
) -> Iterator[tuple[int, T]]:
    try:
        from distributed import Client
    except ImportError as fault:
        raise NoClusterError("install `.[cluster]` to use a Dask cluster") from fault
    from joblib import Parallel, parallel_config

    try:
        client = Client(address, timeout=10, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as fault:
        raise NoClusterError(f"no scheduler answers at {address}") from fault
    _refuse_others(client, address)
    with client, parallel_config(backend="dask", client=client, wait_for_workers_timeout=60):
        parallel = Parallel(n_jobs=-1, batch_size=1, return_as="generator_unordered")
        yield from _run(parallel, work, tasks)


def _refuse_others(client: Any, address: str) -> None:
    """Workers must have this very compiler: others would make other programs, unseen."""
    try:
        client.wait_for_workers(1, timeout=60)
        found = set(client.run(tool_digest).values())
    except (ImportError, OSError, RuntimeError, TimeoutError) as fault:
        client.close()
        raise NoClusterError(f"the workers at {address} can't run this compiler") from fault
    if found != {tool_digest()}:
        client.close()
        raise NoClusterError(f"the workers at {address} have another version of this compiler")


def _run(parallel: Any, work: Callable[..., T], tasks: Iterable[Task]) -> Iterator[tuple[int, T]]:
    from joblib import delayed

    yield from parallel(delayed(_numbered)(work, number, given) for number, given in tasks)


def _numbered(work: Callable[..., T], number: int, given: tuple[Any, ...]) -> tuple[int, T]:
    """What a worker does. On a cluster it is no child of ours, and stays."""
    if "loky" in multiprocessing.current_process().name.lower():
        _end_with_parent()
    return number, work(*given)


@lru_cache(maxsize=1)
def _end_with_parent() -> None:
    """From now on this worker ends when the process that started it is gone: one that was killed
    can't tell its workers to go, and they would wait for work for ever.
    """
    if os.name != "posix":  # elsewhere the system ends them with their pipes
        return
    parent = os.getppid()

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(WATCH)
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
