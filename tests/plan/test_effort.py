"""A path so long that nobody would wait for it is refused before anything is planned."""

from __future__ import annotations

import math
import time
from dataclasses import replace

import pytest
from planning_bench import a_pass, bench, block, disc, end_mill

from compiler.plan.effort import MOST_DIAMETERS
from compiler.plan.lower import lower

TINY = end_mill(diameter=0.1, shank_diameter=3.0, stickout=0.4, flute_length=0.2)


def plate(effort: int = 1, radial_depth: float = 0.04):
    """A 100 x 100 plate with a boss, roughed by a cutter of a tenth of a millimetre."""
    rough = a_pass("rough", to=-0.1, radial_depth=radial_depth, line=27)
    job, part = bench({"boss": disc(50, 50, 10)}, [rough], [TINY], stock=block(0, 0, 100, 100))
    return replace(job, effort=effort), part


def test_a_tiny_cutter_on_a_wide_plate_is_refused_at_once() -> None:
    start = time.process_time()
    found = lower(*plate())
    assert time.process_time() - start < 5
    (refused,) = [each for each in found.findings if each.code == "E416"]
    assert refused.primary is not None and refused.primary.span.line == 27
    # area over radial depth, by hand: (10 000 - 314) / 0.04 = 242 m in one or more levels
    levels = len(found.value.operations[0].levels) if found.value else 1
    path = levels * (100 * 100 - math.pi * 10**2) / 0.04 / 1000
    assert f"about {path:,.0f} m" in refused.message
    assert f"at most {MOST_DIAMETERS * 0.1 / 1000:,.0f} m" in refused.message


def test_effort_raises_the_bound_by_so_much_as_the_message_says() -> None:
    (refused,) = [each for each in lower(*plate()).findings if each.code == "E416"]
    assert refused.help is not None
    need = int(refused.help.rpartition("effort: ")[2].split("`")[0])
    assert not any(each.code == "E416" for each in lower(*plate(effort=need)).findings)
    assert any(each.code == "E416" for each in lower(*plate(effort=need - 1)).findings)


def test_more_than_effort_allows_is_not_offered() -> None:
    (refused,) = [e for e in lower(*plate(radial_depth=0.001)).findings if e.code == "E416"]
    assert refused.help is not None and "effort" not in refused.help


@pytest.mark.parametrize("units", ["inch", "mm"])
def test_effort_is_no_part_of_what_a_job_says(units: str) -> None:
    from compiler.spec.digest import digest_of, digest_with_places

    job, _ = plate()
    job = replace(job, units=units)
    more = replace(job, effort=8)
    assert digest_of(job) == digest_of(more)
    assert digest_with_places(job) == digest_with_places(more)
