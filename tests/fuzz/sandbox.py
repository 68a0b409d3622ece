"""Inputs tried one after another in a child process that may die of them.

The child says before each what it begins and after each how it ended; where it falls silent too
long or ends, the parent knows by which input, and begins another one behind it. POSIX only.
"""

from __future__ import annotations

import contextlib
import faulthandler
import itertools
import os
import resource
import select
import signal
import time
import traceback
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

WALL = 12.0  # times the processor's seconds: other work may be going on
LIFE = 1000  # inputs for a child: what leaks or lingers is another's from then on


@dataclass(frozen=True)
class Bounds:
    """What one input may take: seconds of the processor, MiB of memory with all that is loaded."""

    seconds: float
    mib: int


@dataclass(frozen=True)
class Result:
    """How one input ended, in a word, and what it took: seconds of the processor, MiB at the peak.

    `fault` says what is wrong with that, if anything.
    """

    told: str
    fault: str = ""
    seconds: float = 0.0
    mib: float = 0.0


def tried(
    try_out: Callable[[bytes], str], inputs: Iterable[bytes], bounds: Bounds
) -> Iterator[Result]:
    """A result for every input, in order. A child has no more than `LIFE` of them."""
    source = iter(inputs)
    while waiting := list(itertools.islice(source, LIFE)):
        done = 0
        while done < len(waiting):
            for result in _one_child(try_out, waiting[done:], bounds):
                done += 1
                yield result


def _one_child(
    try_out: Callable[[bytes], str], inputs: list[bytes], bounds: Bounds
) -> Iterator[Result]:
    """Results until the child ends, the last perhaps of what ended it."""
    ear, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ear)
        _work(try_out, inputs, bounds, mouth)
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
                words = line.decode("utf-8", "backslashreplace").split("\t", 3)
                heard += 1
                fault = words[3].replace("\\n", "\n")
                yield Result(words[2], fault, float(words[0]), float(words[1]))
    finally:
        os.close(ear)
        if child:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)


def _work(try_out: Callable[[bytes], str], inputs: list[bytes], bounds: Bounds, mouth: int) -> None:
    """The child's whole life."""
    faulthandler.enable()
    for told_to_end in (signal.SIGTERM, signal.SIGINT):
        signal.signal(told_to_end, signal.SIG_DFL)
    # what the input asks for beyond the bound is measured; this only keeps the machine alive
    most = (bounds.mib * 4) << 20
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    for data in inputs:
        _forget_peak()
        begun = time.process_time()
        told, fault = "stood", ""
        try:
            told = try_out(data)
        except BaseException as wrong:
            told = type(wrong).__name__
            fault = "".join(traceback.format_exception(wrong, limit=-6))
        spent, most_held = time.process_time() - begun, _peak()
        if not fault and spent > bounds.seconds:
            told, fault = "slow", f"took {spent:.1f} s of the processor"
        if not fault and most_held > bounds.mib:
            told, fault = "hungry", f"held {most_held:.0f} MiB"
        line = f"{spent:.4f}\t{most_held:.1f}\t{told}\t{fault}".replace("\n", "\\n") + "\n"
        os.write(mouth, line.encode("utf-8", "backslashreplace"))
    os._exit(0)


def _forget_peak() -> None:
    """Let the most memory held be counted anew, where the system can (Linux)."""
    with contextlib.suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5")


def _peak() -> float:
    """The most memory that the process has held since, MiB; Python and libraries with it."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
