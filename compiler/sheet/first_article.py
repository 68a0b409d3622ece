"""The first-article list: every size to be measured on the first piece, its limits worked out."""

import math

from compiler.job import Inspection, Job
from compiler.knowledge.tolerance import general_tolerance
from compiler.part.model import Part
from compiler.sheet.content import Lines, Section, Table
from compiler.sheet.say import Say
from compiler.sheet.sizes import Size, sizes
from compiler.units.number import LENGTH_DECIMALS, fixed, in_units

MOST_NAMES = 3
HEAD = ("No.", "Characteristic", "Nominal", "Low", "High", "Limits from", "Gauge", "Measured", "OK")
WIDTHS = (0.6, 4.6, 1.4, 1.4, 1.4, 1.9, 2.0, 2.0, 0.7)


def first_article(job: Job, part: Part, floor: float, say: Say) -> Section:
    """What the job asks to be measured, then the sizes of regions, each once.

    Regions with a tolerance are always listed; where the job gives a general tolerance, all are.

    Args:
        job: For its rows and its general tolerance.
        part: For the sizes.
        floor: Z of the deepest floor, mm.
        say: The words.
    """
    rows = [_asked(row, job, say) for row in job.inspection]
    for size in sizes(part, floor):
        known = _known(size, job.inspection)
        if not known and (size.tolerance is not None or job.general_tolerance is not None):
            rows.append(_measured(size, job, say))
    rows += _walls(part, floor, say)
    numbered = tuple((str(number), *row) for number, row in enumerate(rows, start=1))
    general = f", general tolerance {general_words(job, say)}" if job.general_tolerance else ""
    found: Table | Lines = Lines(("The job names nothing to measure.",))
    if numbered:
        found = Table(HEAD, numbered, WIDTHS, frozenset({2, 3, 4}))
    return Section("first article", f"First article ({say.unit}){general}", (found,))


def _asked(row: Inspection, job: Job, say: Say) -> tuple[str, ...]:
    if row.plus is None or row.minus is None:
        limits = _general(row.nominal, job, say)
    else:
        limits = (*_limits(row.nominal - row.minus, row.nominal + row.plus, say), "job")
    return (row.what, say.z(row.nominal), *limits, row.gauge, "", "")


def _measured(size: Size, job: Job, say: Say) -> tuple[str, ...]:
    names = ", ".join(size.of[:MOST_NAMES])
    if len(size.of) > MOST_NAMES:
        names += f" and {len(size.of) - MOST_NAMES} more"
    what = f"{names}: {size.what}" if names else size.what
    if size.count > 1:
        what = f"{what}, {size.count} ×"
    if size.tolerance is None:
        limits = _general(size.nominal, job, say)
    else:  # both its walls may lie off by that much
        off = 2 * size.tolerance
        limits = (*_limits(size.nominal - off, size.nominal + off, say), "region's walls")
    return (what, say.z(size.nominal), *limits, "", "", "")


def _general(nominal: float, job: Job, say: Say) -> tuple[str, str, str]:
    """Low, high and where they are from; nothing where no general tolerance covers the size."""
    general = job.general_tolerance
    off = general_tolerance(general, nominal) if isinstance(general, str) else general
    if off is None:
        return "", "", "not given"
    return (*_limits(nominal - off, nominal + off, say), general_words(job, say))


def general_words(job: Job, say: Say) -> str:
    """The general tolerance in words; the job must have one."""
    general = job.general_tolerance
    if isinstance(general, str):
        return f"ISO 2768-{general}"
    return f"± {say.bare(general or 0.0)} {say.unit}"


def _limits(low: float, high: float, say: Say) -> tuple[str, str]:
    """Both limits, rounded inwards: what is printed never allows more than was asked."""
    places = LENGTH_DECIMALS[say.units]
    step = 10.0**places
    inward = (
        math.ceil(in_units(low, say.units) * step - 1e-6) / step,
        math.floor(in_units(high, say.units) * step + 1e-6) / step,
    )
    return fixed(inward[0], places), fixed(inward[1], places)


def _known(size: Size, asked: tuple[Inspection, ...]) -> bool:
    """Whether the author's own rows have the size already: same number, and named in its words."""
    names = [name.lower() for name in size.of] or ["floor", "depth"]
    if len(size.of) == 1:  # of this size there is no other
        names += {"bore": ["bore"], "diameter": ["outside diameter"]}.get(size.what, [])
    return any(
        abs(row.nominal - size.nominal) < 1e-4
        and any(_named(name, row.what.lower()) for name in names)
        for row in asked
    )


def _named(name: str, words: str) -> bool:
    """Whether a region is spoken of; `boss` will do for `bosses`."""
    return name in words or any(len(w) > 2 and name.startswith(w) for w in words.split())


def _walls(part: Part, floor: float, say: Say) -> list[tuple[str, ...]]:
    """Regions whose tolerance shows in no size: their walls against the drawing."""
    told = {name for size in sizes(part, floor) if size.tolerance is not None for name in size.of}
    return [
        (
            f"{region.name}: walls against the drawing",
            "",
            say.z(-region.tolerance),
            f"+{say.z(region.tolerance)}",
            "region's walls",
            "",
            "",
            "",
        )
        for region in part.own
        if region.tolerance is not None and region.name not in told
    ]
