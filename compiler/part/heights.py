"""Heights that must agree: stock, regions, obstacles, the lowest cut, the clearance."""

from __future__ import annotations

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.job import Job
from compiler.units.number import length

SAME = 1e-6
"""Heights this near are the same, mm."""

ROOM_ABOVE = 2.5
"""Rapids this far above everything are held to be clear, mm. Common practice, no source."""


def lowest_cut(job: Job) -> float:
    """The Z below which nothing is cut: the stock's underside or the author's limit."""
    given = job.workholding.lowest_cut
    return job.stock.bottom if given is None else max(given, job.stock.bottom)


def of_stock(job: Job) -> list[Diagnostic]:
    """Stock without area, thickness or anything above the lowest cut: nothing to work on."""
    stock = job.stock
    if stock.region.is_empty or stock.region.area <= SAME or stock.thickness <= SAME:
        what = "thickness" if stock.thickness <= SAME else "area"
        return [
            Diagnostic(
                code="E317",
                message=f"the stock has no {what}",
                primary=Label(stock.origin),
                path="stock.thickness" if what == "thickness" else "stock.outline",
                help=f"give it {'a' if what == 'thickness' else 'an'} {what} above 0",
            )
        ]
    if lowest_cut(job) >= stock.top - SAME:
        given = job.workholding
        return [
            Diagnostic(
                code="E318",
                message=f"`lowest_cut` {length(lowest_cut(job), job.units)} is not below the "
                f"stock's top {length(stock.top, job.units)}",
                primary=Label(given.origin or stock.origin),
                path="workholding.lowest_cut",
                help="Z is up and absolute; give a Z between the stock's underside "
                f"{length(stock.bottom, job.units)} and its top",
            )
        ]
    return []


def of_regions(job: Job) -> list[Diagnostic]:
    """Tops above the stock, below what may be cut, or below what any pass reaches."""
    found: list[Diagnostic] = []
    least = lowest_cut(job)
    floors = [p.to for p in job.passes if p.to is not None and p.kind != "drill"]
    for keep in job.keep_regions:
        top = f"top {length(keep.top, job.units)}"
        label, path = Label(keep.origin, top), f"keep_regions.{keep.name}.top"
        if keep.top > job.stock.top + SAME:
            found.append(
                Diagnostic(
                    code="E312",
                    message=f"the top of region `{keep.name}` lies "
                    f"{length(keep.top - job.stock.top, job.units)} above the stock",
                    primary=label,
                    path=path,
                    secondary=(Label(job.stock.origin, "the stock"),),
                    help=f"give a top of {length(job.stock.top, job.units)} or less",
                )
            )
        elif keep.top < least - SAME or keep.top <= job.stock.bottom + SAME:
            found.append(
                Diagnostic(
                    code="E313",
                    message=f"the top of region `{keep.name}` lies below the lowest cut "
                    f"{length(least, job.units)}",
                    primary=label,
                    path=path,
                    secondary=_labels(job.workholding.origin, "the lowest cut"),
                    help=f"give a top above {length(least, job.units)}, or a lower `lowest_cut`",
                )
            )
        elif floors and keep.top < min(floors) - SAME and min(floors) < job.stock.top - SAME:
            # of floors that are not below the stock's top the passes tell (E402)
            found.append(
                Diagnostic(
                    code="W313",
                    severity=Severity.WARNING,
                    message=f"no pass reaches down to the top of region `{keep.name}`",
                    primary=label,
                    path=path,
                    help=f"give a pass `to: {length(keep.top, job.units)}`: the deepest goes to "
                    f"{length(min(floors), job.units)}",
                )
            )
    return found


def of_clearance(job: Job) -> list[Diagnostic]:
    """A clearance height that is not clear of stock, regions and obstacles, or only just."""
    items = [
        (job.stock.top, "the stock", job.stock.origin),
        *((k.top, f"region `{k.name}`", k.origin) for k in job.keep_regions),
        *((o.top, f"obstacle `{o.name}`", o.origin) for o in job.workholding.obstacles),
    ]
    top, what, origin = max(items, key=lambda item: item[0])
    room = job.heights.clearance - top
    if room >= ROOM_ABOVE - SAME:
        return []
    clear = room > SAME
    said = length(job.heights.clearance, job.units)
    relation = (
        f"is {length(room, job.units)} above {what}"
        if clear
        else f"is not above {what}, whose top is at {length(top, job.units)}"
    )
    return [
        Diagnostic(
            code="W316" if clear else "E316",
            severity=Severity.WARNING if clear else Severity.ERROR,
            message=f"the clearance height {said} {relation}",
            primary=Label(job.heights.origin or origin),
            path="heights.clearance",
            secondary=_labels(origin if job.heights.origin else None, "the highest"),
            help=f"give {length(top + ROOM_ABOVE, job.units)} or more",
        )
    ]


def _labels(span: Span | None, text: str) -> tuple[Label, ...]:
    return (Label(span, text),) if span is not None else ()
