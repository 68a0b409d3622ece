"""Wild solid models: small ones of our own, changed. Needs the solid kernel.

Each is read, laid on the table, surveyed and cut at a height, as `measure` and a job would. The
kernel is another's: what brings it down must not bring us down with it.
"""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

from kind import Kind, changed

ROOT = Path(__file__).resolve().parents[2]


def make(chance: random.Random) -> bytes:
    """A model from the corpus, changed."""
    return changed(chance, chance.choice(corpus()), corpus())


@cache
def corpus() -> tuple[bytes, ...]:
    """The example's model, and a block with a boss, a hole, a cone and a ball in it."""
    import sys

    sys.path.append(str(ROOT / "tests" / "solid"))
    from step_maker import box, cone, cut, cylinder, fused, step

    block = fused(box((0, 0, -10), (40, 30, 0)), cylinder(12, 15, 0, 6, 8), cone(30, 8, 0, 5, 2, 4))
    holed = cut(block, cylinder(30, 20, -11, 3, 12))
    plain = step(box((0, 0, 0), (10, 20, 5)))
    return (plain, step(holed), *(f.read_bytes() for f in sorted((ROOT / "specs").rglob("*.step"))))


def try_out(data: bytes) -> str:
    """How it ended: the codes that refused it, or what was made of it."""
    from compiler.drawing.voice import Voice
    from compiler.solid.orient import laid
    from compiler.solid.read import read_solid
    from compiler.solid.section import section
    from compiler.survey.solids import survey_solid
    from compiler.survey.words import text

    voice = Voice("wild.step")
    read = read_solid(data, voice)
    if read.value is None:
        if not read.findings:
            raise AssertionError("refused without a word")
        return "refused: " + ", ".join(sorted({f.code for f in read.findings}))
    turned = laid(read.value, voice, z0="top")
    assert turned.value is not None
    survey = survey_solid(turned.value, voice, "mm")
    cut = section(turned.value, (turned.value.bottom + turned.value.top) / 2, voice)
    found = (*read.findings, *survey.findings, *cut.findings)
    if survey.value is not None:
        text(survey.value).encode("utf-8")
    elif not survey.findings:
        raise AssertionError("refused without a word")
    return "read" if not found else "read: " + ", ".join(sorted({f.code for f in found}))


KIND = Kind("step", make, try_out)
