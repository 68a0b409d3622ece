"""The stock: its outline as given, or the box round what is to be cut."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import has_errors
from compiler.geometry import Point, Region
from compiler.geometry.near import Box
from compiler.job import KeepRegion, Stock
from compiler.spec.models import job as written
from compiler.spec.place import Place
from compiler.spec.shapes import region_of, report

MEANT = {
    "keep_regions": "closed keep region",
    "drawing": "keep region from a drawing",
    "model": "keep region from a model",
}


def stock_of(said: written.Stock, regions: tuple[KeepRegion, ...], place: Place) -> Stock | None:
    """The stock by its outline, or round what is kept; None where it can't be made (reported)."""
    outline, where = said.outline, place
    around, margin = said.around, said.margin
    if outline is not None:
        if margin is not None:
            _report_idle_margin(place)
        where = place / "outline"
        around, margin = outline.around, outline.margin
    if around is None and margin is not None:
        _report_idle_margin(where)
    region: Region | None = None
    if around is not None:
        region = _around(around, regions, float(margin or 0.0), where / "around")
    elif outline is not None:
        region = region_of(outline, where)
    if region is None:
        return None
    return Stock(
        region=region,
        top=float(said.top),
        thickness=float(said.thickness),
        origin=place.key_span,
    )


def _report_idle_margin(place: Place) -> None:
    here = place / "margin"
    here.report(
        "E209",
        "`margin` has nothing to be added to",
        "a margin goes with `around`; leave it out beside an outline",
        span=here.key_span,
    )


def _around(
    what: str, regions: tuple[KeepRegion, ...], margin: float, place: Place
) -> Region | None:
    """The box round all that is meant, with a margin on every side; E215 where there is nothing."""
    from compiler.geometry import build
    from compiler.geometry.errors import GeometryError
    from compiler.geometry.region import make

    boxes = _boxes(what, regions, place)
    if not boxes:
        if not has_errors(place.findings):
            place.report("E215", f"there is no {MEANT[what]} to go round", "give an `outline`")
        return None
    low = Point(min(b[0] for b in boxes) - margin, min(b[1] for b in boxes) - margin)
    high = Point(max(b[2] for b in boxes) + margin, max(b[3] for b in boxes) + margin)
    try:
        return make([build.rectangle(low, high)])
    except GeometryError as error:
        report(error, place)
        return None


def _boxes(what: str, regions: tuple[KeepRegion, ...], place: Place) -> Sequence[Box]:
    """Bounding boxes of the keep regions, or of what drawings or models show."""
    if what == "keep_regions":
        return [r.shape.bounds for r in regions if isinstance(r.shape, Region)]
    assert place.linked is not None
    return place.linked.drawing_boxes() if what == "drawing" else place.linked.model_boxes()
