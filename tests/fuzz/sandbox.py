"""Inputs tried one after another in a child process that may die of them.

The child says before each what it begins and after each how it ended; where it falls silent too
long or ends, the parent knows by which input, and begins another one behind it. POSIX only.
"""

from __future__ import annotations

import faulthandler
import os
import resource
import select
import signal
import time
import traceback
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kind import Kind

WALL = 12.0  # times the processor's seconds: other work may be going on


@dataclass(frozen=True)
class Bounds:
    """What one input may take: seconds of the processor, MiB of memory."""

    seconds: float
    mib: int


@dataclass(frozen=True)
class Result:
    """How one input ended, in a word; `fault` says what is wrong with that, if anything."""

    told: str
    fault: str = ""


def tried(kind: Kind, inputs: Iterable[bytes], bounds: Bounds) -> Iterator[Result]:
    """A result for every input, in order."""
    waiting = list(inputs)
    done = 0
    while done < len(waiting):
        for result in _one_child(kind, waiting[done:], bounds):
            done += 1
            yield result


def _one_child(kind: Kind, inputs: list[bytes], bounds: Bounds) -> Iterator[Result]:
    """Results until the child ends, the last perhaps of what ended it."""
    ear, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ear)
        _work(kind, inputs, bounds, mouth)
    os.close(mouth)
    said, heard = b"", 0
    try:
        while heard < len(inputs):
            ready, _, _ = select.select([ear], [], [], WALL * bounds.seconds)
            if not ready:
                os.kill(child, signal.SIGKILL)
                yield Result("hung", f"no end within {WALL * bounds.seconds:.0f} s")
                return
            more = os.read(ear, 65536)
            if not more:
                status = os.waitpid(child, 0)[1]
                child = 0
                yield Result("died", f"the process died: status {status}")
                return
            *whole, said = (said + more).split(b"\n")
            for line in whole:
                told, _, fault = line.decode("utf-8", "backslashreplace").partition("\t")
                heard += 1
                yield Result(told, fault.replace("\\n", "\n"))
    finally:
        os.close(ear)
        if child:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)


def _work(kind: Kind, inputs: list[bytes], bounds: Bounds, mouth: int) -> None:
    """The child's whole life."""
    faulthandler.enable()
    # what the input asks for beyond the bound is measured; this only keeps the machine alive
    most = (bounds.mib * 4) << 20
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    for data in inputs:
        before, begun = _peak(), time.process_time()
        told, fault = "stood", ""
        try:
            told = kind.try_out(data)
        except BaseException as wrong:
            told = type(wrong).__name__
            fault = "".join(traceback.format_exception(wrong, limit=-6))
        spent, grown = time.process_time() - begun, _peak() - before
        if not fault and spent > bounds.seconds:
            told, fault = "slow", f"took {spent:.1f} s of the processor"
        if not fault and grown > bounds.mib:
            told, fault = "hungry", f"took {grown:.0f} MiB"
        line = f"{told}\t{fault}".replace("\n", "\\n") + "\n"
        os.write(mouth, line.encode("utf-8", "backslashreplace"))
    os._exit(0)


def _peak() -> float:
    """The most memory that the process has had so far, MiB (Linux counts KiB)."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
