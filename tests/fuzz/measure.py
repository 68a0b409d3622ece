"""Wild input, a lot of it, in bounded time: what falls over becomes a case among the tests.

    python -m tests.fuzz dxf --count 5000 --seed 1
    python -m tests.fuzz step --count 500 --seed 1 --only 137      one input again, with its bytes
    python -m tests.fuzz programs --count 1000 --seed 1

Input number i of a seed is always the same bytes. Each is tried in a child process under the
bounds of `sandbox.py`; a traceback, a death, a hang or a hunger is printed with the number that
brings it back, and the last status is 1.
"""

from __future__ import annotations

import argparse
import importlib
import random
import sys
import time
from pathlib import Path

from kind import Kind
from sandbox import Bounds, tried

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
    asked = parser.parse_args()
    kind: Kind = importlib.import_module(asked.kind).KIND
    if asked.only is not None:
        data = input_number(kind, asked.seed, asked.only)
        _kept(asked.keep, kind, asked.seed, asked.only, data)
        kind.try_out(data)
        print("stood")
        return 0
    begun, fallen, met = time.monotonic(), 0, dict[str, int]()
    bounds = Bounds(asked.seconds, asked.mib)
    inputs = (input_number(kind, asked.seed, i) for i in range(asked.count))
    for index, result in enumerate(tried(kind, inputs, bounds)):
        met[result.told] = met.get(result.told, 0) + 1
        if result.fault:
            fallen += 1
            print(f"{kind.name} --seed {asked.seed} --only {index}: {result.fault}", flush=True)
            data = input_number(kind, asked.seed, index)
            _kept(asked.keep, kind, asked.seed, index, data)
    for told, count in sorted(met.items(), key=lambda item: -item[1]):
        print(f"{count:8}  {told}")
    print(
        f"{asked.count} inputs, seed {asked.seed}: {fallen} fell over; "
        f"{time.monotonic() - begun:.0f} s"
    )
    return 1 if fallen else 0


def _kept(folder: Path | None, kind: Kind, seed: int, index: int, data: bytes) -> None:
    if folder is not None:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{kind.name}-{seed}-{index}").write_bytes(data)


if __name__ == "__main__":
    sys.exit(main())
