"""Measure the constant-engagement strategy: run by name, no part of the suite.

    python tests/benchmarks/clearing.py [NAME ...]      all plates where none is named

For each plate: planning time (one core, of this process alone), the same as a multiple of one
offset of all its centres, memory at its peak, share of the cutting length over the limit, the
largest angles, the cutting length against area / straight step, links at depth and the straight
ways between strokes against the cutting length, blocks per inch of path. A stroke
more is at most a lift more. Then how planning time grows from 60 to 240 bosses.
"""

from __future__ import annotations

import math
import resource
import sys
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import shapely
from shapely.geometry.base import BaseGeometry

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "paths"), str(ROOT / "tests" / "benchmarks")]

import plates  # noqa: E402
from clearing_task import clearing_task  # noqa: E402
from engagement_measure import measure, samples  # noqa: E402

from compiler.motion import Role  # noqa: E402
from compiler.paths.constant_engagement import plan  # noqa: E402
from compiler.paths.stroke import Stroke  # noqa: E402
from compiler.paths.task import Task  # noqa: E402

RADIUS = 6.35  # a half-inch cutter
DUST = 1e-9  # rad
FILM = 0.05  # mm; thinner is what chords leave, no work

Row = dict[str, float]
Plate = tuple[BaseGeometry, BaseGeometry]
PLATES: dict[str, tuple[Callable[[], Plate], float]] = {
    "plate": (plates.seven_by_five, 60),
    "bosses": (plates.bosses, 75),
    "crescent": (plates.crescent, 60),
    "comb": (plates.comb, 60),
    "ring": (plates.ring, 60),
    **{f"chance{seed}": (lambda seed=seed: plates.chance(seed), 60) for seed in range(12)},
}


def timed(task: Task) -> tuple[tuple[Stroke, ...], float]:
    """The strokes, and the processor's seconds they took."""
    start = time.process_time()
    strokes = plan(task)
    return strokes, time.process_time() - start


def run(stroke: Stroke) -> list[tuple[float, float]]:
    """Places along a stroke, the ends of all its pieces included: in corners they count."""
    places = [tuple(stroke.pieces[0].segment.start)]
    for piece in stroke.pieces:
        count = max(1, math.ceil(piece.segment.length / 0.1))
        places += [tuple(piece.segment.at((k + 1) / count)) for k in range(count)]
    return places


def one_offset(task: Task) -> float:
    """Seconds for growing all centres once by the step: the raw cost of the geometry below."""
    start = time.process_time()
    for _ in range(5):
        task.centres.buffer(task.step, quad_segs=16)
    return (time.process_time() - start) / 5


def report(name: str) -> Row:
    """Plan and measure one plate, print a line; the figures that can be held against others."""
    make, degrees = PLATES[name]
    stock, keep = make()
    limit = math.radians(degrees)
    task = clearing_task(stock, keep, radius=RADIUS, limit=limit)
    raw = one_offset(task)
    strokes, seconds = timed(task)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    # rims of a quarter degree: with half a degree what stands at the bound falls to either side
    found = measure(strokes, radius=RADIUS, stock=task.material, spacing=0.3, rim=1440)
    reach = task.centres.buffer(RADIUS, quad_segs=64).intersection(task.material)
    total = sum(piece.segment.length for stroke in strokes for piece in stroke.pieces)
    blocks = sum(len(stroke.pieces) for stroke in strokes)
    links = sum(p.segment.length for s in strokes for p in s.pieces if p.role is Role.LINK)
    between = sum(
        a.pieces[-1].segment.end.distance(b.pieces[0].segment.start) for a, b in pairwise(strokes)
    )
    places = samples(strokes, 0.2)[0]
    wall = shapely.distance(keep, shapely.points(places)).min() - RADIUS
    swept = shapely.union_all(
        [shapely.LineString(run(stroke)).buffer(RADIUS, quad_segs=64) for stroke in strokes]
    )
    left = reach.difference(swept).buffer(-FILM / 2).area
    full = found.feed_factor > 0.999
    over = full & (found.angle > limit + math.radians(0.5) + DUST)  # equal is not over
    share = found.length[over].sum() / found.cutting_length()
    print(
        f"{name:9} {seconds:6.2f} s = {seconds / raw:6.0f} offsets, {memory:4.0f} MB, "
        f"strokes {len(strokes):4}, over {100 * share:.2f} % at full feed "
        f"({100 * found.over(limit):.2f} % in all), angle 50/99.9/100 %: "
        f"{math.degrees(found.quantile(0.5)):.1f}/{math.degrees(found.quantile(0.999)):.1f}/"
        f"{math.degrees(found.angle[full].max()):.1f} of {degrees:.0f}, "
        f"length {found.cutting_length() / (reach.area / task.step):.3f} of the ideal, "
        f"links {(links + between) / found.cutting_length():.2f} of it, "
        f"blocks {25.4 * blocks / total:.1f}/in, left {left:.3f} mm2, wall {wall:+.4f} mm",
        flush=True,
    )
    return {
        "plan_s": seconds,
        "offsets": seconds / raw,
        "memory_mb": memory,
        "over": float(share),
        "angle": math.degrees(found.angle[full].max()),
        "of_ideal": found.cutting_length() / (reach.area / task.step),
        "links": (links + between) / found.cutting_length(),
        "left_mm2": left,
    }


def growth() -> Row:
    """Planning time at 60 and 240 bosses, and the exponent between."""
    seconds = []
    for columns, rows in ((10, 6), (20, 12)):
        stock, keep = plates.bosses(columns, rows)
        task = clearing_task(stock, keep, radius=RADIUS, limit=math.radians(75))
        seconds.append(timed(task)[1])
    exponent = math.log(seconds[1] / seconds[0]) / math.log(4)
    print(f"growth: {seconds[0]:.1f} s, {seconds[1]:.1f} s, exponent {exponent:.2f}", flush=True)
    return {"bosses60_s": seconds[0], "bosses240_s": seconds[1], "exponent": exponent}


EVERY = (*PLATES, "growth")


def measured(name: str) -> Row:
    """A plate by its name, or `growth`."""
    return growth() if name == "growth" else report(name)


if __name__ == "__main__":
    for wanted in sys.argv[1:] or EVERY:
        measured(wanted)
