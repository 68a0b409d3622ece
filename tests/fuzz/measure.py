"""Wild input, a lot of it, in bounded time: what falls over becomes a case among the tests.

    python -m tests.fuzz dxf --count 5000 --seed 1
    python -m tests.fuzz step --count 500 --seed 1 --only 137      one input again, with its bytes
    python -m tests.fuzz programs --count 1000 --seed 1            read, cut and judged
    python -m tests.fuzz programs --count 50000 --seed 1 --read    only read

Input number i of a seed is always the same bytes. Each is tried in a child process under the
bounds of `sandbox.py`; a traceback, a death, a hang or a hunger is printed with the number that
brings it back, and the last status is 1. The last lines count how inputs ended, with the share that
was not refused, the slowest input and the most memory that any held. A run that is told to end
(SIGTERM, SIGINT) says the same of what it has done.
"""

from __future__ import annotations

import argparse
import contextlib
import importlib
import random
import signal
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

from kind import Kind
from sandbox import Bounds, Result, tried

KINDS = ("dxf", "step", "specs", "expressions", "programs")
"""Modules beside this, each with a `KIND`."""


def input_number(kind: Kind, seed: int, index: int) -> bytes:
    """The bytes of one input."""
    return kind.make(random.Random(f"{kind.name}/{seed}/{index}"))


def main() -> int:
    """Status 0 where everything stood."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("kind", choices=KINDS)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="this one input, not caught")
    parser.add_argument("--seconds", type=float, default=5.0, help="of the processor, for one")
    parser.add_argument("--mib", type=int, default=1024, help="of memory, for one")
    parser.add_argument("--keep", type=Path, help="folder for the bytes of what fell over")
    parser.add_argument(
        "--from", type=int, default=0, dest="start", help="the first input's number"
    )
    parser.add_argument(
        "--read",
        action="store_true",
        help="programs: only read them, a hundred times as many; nothing is cut or judged",
    )
    asked = parser.parse_args()
    kind: Kind = importlib.import_module(asked.kind).KIND
    if asked.read and kind.read is None:
        parser.error(f"{kind.name} are not read by themselves")
    try_out = kind.read if asked.read and kind.read else kind.try_out
    if asked.only is not None:
        data = input_number(kind, asked.seed, asked.only)
        _kept(asked.keep, kind, asked.seed, asked.only, data)
        try_out(data)
        print("stood")
        return 0
    tally = Tally()
    bounds = Bounds(asked.seconds, asked.mib)
    numbers = range(asked.start, asked.start + asked.count)
    inputs = (input_number(kind, asked.seed, i) for i in numbers)
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    with contextlib.suppress(KeyboardInterrupt):
        for index, result in zip(numbers, tried(try_out, inputs, bounds), strict=False):
            tally.add(index, result)
            if result.fault:
                print(f"{kind.name} --seed {asked.seed} --only {index}: {result.fault}", flush=True)
                data = input_number(kind, asked.seed, index)
                _kept(asked.keep, kind, asked.seed, index, data)
    how = "programs, only read" if asked.read else kind.name
    print("\n".join(tally.lines(f"{how}, seed {asked.seed}")))
    return 1 if tally.fallen or tally.count < asked.count else 0


@dataclass(slots=True)
class Tally:
    """What became of the inputs so far."""

    begun: float = field(default_factory=time.monotonic)
    count: int = 0
    fallen: int = 0
    taken: int = 0  # not refused
    seconds: float = 0.0  # of the processor, all together
    slowest: tuple[float, int] = (0.0, 0)  # s, and which
    hungriest: tuple[float, int] = (0.0, 0)  # MiB, and which
    met: dict[str, int] = field(default_factory=dict)

    def add(self, index: int, result: Result) -> None:
        """One more."""
        self.count += 1
        self.met[result.told] = self.met.get(result.told, 0) + 1
        self.fallen += bool(result.fault)
        self.taken += not result.fault and not result.told.startswith("refused")
        self.seconds += result.seconds
        self.slowest = max(self.slowest, (result.seconds, index))
        self.hungriest = max(self.hungriest, (result.mib, index))

    def lines(self, what: str) -> list[str]:
        """The table and the sums."""
        rows = sorted(self.met.items(), key=lambda item: (-item[1], item[0]))
        share = 100 * self.taken / max(1, self.count)
        return [
            *(f"{count:8}  {told}" for told, count in rows),
            f"{what}: {self.count} inputs, {self.fallen} fell over; {share:.1f} % not refused; "
            f"slowest {self.slowest[0]:.2f} s (input {self.slowest[1]}), most memory "
            f"{self.hungriest[0]:.0f} MiB (input {self.hungriest[1]}); "
            f"{self.seconds:.0f} s of the processor, "
            f"{time.monotonic() - self.begun:.0f} s by the clock",
        ]


def _kept(folder: Path | None, kind: Kind, seed: int, index: int, data: bytes) -> None:
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{kind.name}-{seed}-{index}").write_bytes(data)


if __name__ == "__main__":
    sys.exit(main())
