"""A DXF document as a `Drawing`: blocks unfolded, units applied, the rest counted.

INSERT of a block that holds a CIRCLE, stretched along X  ──►  arcs within CURVE_TOLERANCE
TEXT, DIMENSION, HATCH, frozen layers, paper space        ──►  counted in `left_out`
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, Literal

from compiler.diagnostics import Diagnostic, Outcome
from compiler.drawing.document import damaged, open_document, what_of
from compiler.drawing.entities import LEFT_OUT, UnfitError, curves_of, named, unreadable
from compiler.drawing.fit import SHORTEST, is_vast, segments_of
from compiler.drawing.model import CURVE_TOLERANCE, Drawing, Drawn, Fault, Layer, LeftOut, Mark
from compiler.drawing.names import layer_of, readable
from compiler.drawing.plane import Bezier, Curve, Elliptic, Flat, Straight, scaling
from compiler.drawing.units import settle_units
from compiler.drawing.voice import Voice
from compiler.geometry import Point
from compiler.geometry.segment import Segment
from compiler.geometry.tolerance import FAR

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

MAX_ENTITIES = 200_000
"""Entities after blocks are unfolded, and the lines, arcs and curves in them."""

DEEPEST_BLOCK = 16
FARTHEST = FAR  # mm from the origin

Shown = Literal["shown", "frozen", "off"]
CURVES = ("SPLINE", "ELLIPSE")


class TooMuchError(Exception):
    """The drawing unfolds into more than is bearable; the message says what."""


def read_drawing(
    data: bytes,
    voice: Voice,
    *,
    units: Literal["inch", "mm"] | None = None,
    tolerance: float = CURVE_TOLERANCE,
) -> Outcome[Drawing]:
    """The drawing in the bytes of a DXF file.

    Args:
        data: The file as it is, text or binary.
        voice: Where findings point.
        units: What the spec says one drawing unit is; None leaves it to the drawing.
        tolerance: How far arcs may lie off the splines and ellipses that they stand for, mm.

    Errors: E701 no whole DXF, E702 too large, E703 no units. Faults of single entities are kept in
    the drawing and reported by those who ask for their layers.
    """
    opened = open_document(data, voice)
    if opened.value is None:
        return Outcome(None, opened.findings)
    walk = _Walk(opened.value)
    try:
        walk.all()
    except TooMuchError as much:
        refusal = voice.finding(
            "E702",
            f"the drawing `{voice.name}` {much}",
            help="export only what is to be cut, with its blocks resolved",
        )
        return Outcome(None, (*opened.findings, refusal))
    except Exception as fault:  # tables and layouts that do not hang together
        return Outcome(None, (*opened.findings, damaged(voice, what_of(fault))))
    settled = settle_units(opened.value, b"$INSUNITS" in data, _extent(walk.items), units, voice)
    findings: tuple[Diagnostic, ...] = (*opened.findings, *settled.findings)
    if settled.value is None:
        return Outcome(None, findings)
    said = settled.value
    drawn, faults, specks = _in_mm(walk.items, said.factor, tolerance)
    walk.left.update((kind, "of no length") for kind in specks)
    by = scaling(said.factor)
    per_layer = Counter(d.layer for d in drawn)
    return Outcome(
        Drawing(
            version=str(opened.value.dxfversion),
            units=said.name,
            said_by=said.said_by,
            factor=said.factor,
            drawn=tuple(drawn),
            marks=tuple(Mark(by.point(at), layer) for at, layer in walk.marks),
            layers=tuple(
                Layer(name, shown, per_layer[name]) for name, shown in sorted(walk.shown.items())
            ),
            left_out=tuple(
                LeftOut(kind, why, count) for (kind, why), count in sorted(walk.left.items())
            ),
            faults=(*walk.faults, *faults),
        ),
        findings,
    )


Item = tuple[Curve, str, str]  # in drawing units; its layer; its kind


def _in_mm(
    items: Iterable[Item], factor: float, tolerance: float
) -> tuple[list[Drawn], list[Fault], list[str]]:
    """Lines and arcs, what is no sound geometry, and the kinds of what has no length."""
    by = scaling(factor)
    drawn: list[Drawn] = []
    faults: list[Fault] = []
    specks: list[str] = []
    for curve, layer, kind in items:
        mapped = curve.mapped(by)
        pieces = segments_of(mapped, tolerance) if _bearable(mapped) else []
        near = all(abs(value) <= FARTHEST for piece in pieces for value in piece.bounds)
        if not (near and _bearable(mapped)):
            faults.append(
                Fault(
                    "E709",
                    f"a {kind} lies further off than {FARTHEST / 1e6:g} km, or nowhere",
                    "delete it in the drawing; `measure` shows the overall size",
                    layer,
                )
            )
            continue
        if not pieces:
            specks.append(kind)
        exact = isinstance(curve, Straight) or all(_same_kind(p, mapped) for p in pieces)
        drawn += [Drawn(piece, layer, kind, not exact) for piece in pieces]
    return drawn, faults, specks


def _same_kind(piece: Segment, curve: Curve) -> bool:
    """Whether the piece is the curve itself and not an arc near it."""
    circular = isinstance(curve, Elliptic) and curve.is_circular and not is_vast(curve)
    return circular and piece.length > SHORTEST


def _bearable(curve: Curve) -> bool:
    # no number at all compares false as well
    return all(abs(p.x) <= FARTHEST and abs(p.y) <= FARTHEST for p in _hull(curve))


def _hull(curve: Curve) -> list[Point]:
    """A few points that bound the curve."""
    match curve:
        case Straight():
            return [curve.start, curve.end]
        case Elliptic() if is_vast(curve):
            return [curve.at(t)[0] for t in (curve.t0, (curve.t0 + curve.t1) / 2, curve.t1)]
        case Elliptic():
            reach = Point(math.hypot(curve.u.x, curve.v.x), math.hypot(curve.u.y, curve.v.y))
            return [curve.centre.plus(reach), curve.centre.plus(reach, -1.0)]
        case Bezier():
            return [Point(x / w, y / w) for x, y, w in curve.points]


def _extent(items: Iterable[Item]) -> tuple[float, float]:
    """Width and height of it all in drawing units, roughly where curves are concerned."""
    places = [p for curve, _, _ in items for p in _hull(curve) if math.isfinite(p.x + p.y)]
    if not places:
        return (0.0, 0.0)
    xs, ys = [p.x for p in places], [p.y for p in places]
    return (max(xs) - min(xs), max(ys) - min(ys))


class _Walk:
    """One pass over a document: what it finds on the way."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.items: list[Item] = []
        self.marks: list[tuple[Point, str]] = []
        self.left: Counter[tuple[str, str]] = Counter()
        self.faults: list[Fault] = []
        self.shown: dict[str, Shown] = {}
        self._seen = 0
        for layer in document.layers:
            state: Shown = "frozen" if layer.is_frozen() else "off" if layer.is_off() else "shown"
            self.shown[readable(layer.dxf.name)] = state
        self._names = {name.casefold(): name for name in self.shown}

    def all(self) -> None:
        """Everything: model space taken, paper space counted."""
        self._entities(self.document.modelspace(), Flat(), "0", 0)
        for name in self.document.layout_names_in_taborder():
            if name.casefold() == "model":
                continue
            for entity in self.document.layout(name):
                if entity.dxftype() != "VIEWPORT":
                    self.left[entity.dxftype(), "paper space"] += 1

    def _entities(self, entities: Iterable[Any], by: Flat, owner: str, depth: int) -> None:
        """Entities of a layout or block, mapped; `owner` is the layer of the block reference."""
        for entity in entities:
            self._seen += 1
            if self._seen > MAX_ENTITIES:
                raise TooMuchError(f"unfolds into more than {MAX_ENTITIES} entities")
            kind = readable(entity.dxftype())
            layer = self._layer(entity, owner)
            hidden = self._hidden(entity, layer)
            if hidden:
                self.left[kind, hidden] += 1
            elif kind in LEFT_OUT:
                self.left[kind, LEFT_OUT[kind]] += 1
            elif kind == "INSERT":
                self._block(entity, by, layer, depth)
            elif kind == "POINT":
                location = entity.dxf.location
                self.marks.append((by.point(Point(location.x, location.y)), layer))
            else:
                self._line_work(entity, by, layer)

    def _line_work(self, entity: Any, by: Flat, layer: str) -> None:
        try:
            curves = curves_of(entity)
        except KeyError:
            self._fault(unreadable(entity), layer)
            return
        except UnfitError as unfit:
            self._fault(unfit, layer)
            return
        kind = entity.dxftype()
        self.items += [(curve.mapped(by), layer, kind) for curve in curves]
        if len(self.items) > MAX_ENTITIES:
            raise TooMuchError(f"has more than {MAX_ENTITIES} lines, arcs and curves")

    def _fault(self, unfit: UnfitError, layer: str) -> None:
        self.faults.append(Fault(unfit.code, unfit.message, unfit.help, layer))

    def _layer(self, entity: Any, owner: str) -> str:
        """Its layer by the table's spelling; in a block, layer 0 means that of the reference."""
        name = layer_of(entity)
        if name == "0":
            return owner
        known = self._names.setdefault(name.casefold(), name)
        self.shown.setdefault(known, "shown")
        return known

    def _hidden(self, entity: Any, layer: str) -> str:
        if entity.dxf.is_supported("invisible") and entity.dxf.get("invisible", 0):
            return "invisible"
        if layer.casefold() == "defpoints":
            return "never printed"
        state = self.shown.setdefault(layer, "shown")
        return "" if state == "shown" else f"layer {state}"

    def _block(self, insert: Any, by: Flat, layer: str, depth: int) -> None:
        if depth >= DEEPEST_BLOCK:
            raise TooMuchError(f"nests blocks more than {DEEPEST_BLOCK} deep, or a block in itself")
        block = insert.block()
        if block is None or block.block is None or block.block.is_xref:
            self._fault(
                UnfitError(
                    "E710",
                    f"{named(insert)} stands for `{readable(insert.dxf.name)}`, which is not in "
                    "this file",
                    "bind linked drawings into this one before exporting it",
                ),
                layer,
            )
            return
        for placed in self._copies(insert):
            try:
                mapping = _flat_of(placed)
            except UnfitError as unfit:
                self._fault(unfit, layer)
                return
            self._entities(block, by.after(mapping), layer, depth + 1)
        self.left.update({("ATTRIB", "text"): len(insert.attribs)} if insert.attribs else {})

    def _copies(self, insert: Any) -> Iterator[Any]:
        """The reference itself, or each of its rows and columns."""
        if insert.mcount <= 1:
            yield insert
            return
        if insert.mcount > MAX_ENTITIES:
            raise TooMuchError(f"repeats one block {insert.mcount} times")
        yield from insert.multi_insert()


def _flat_of(insert: Any) -> Flat:
    """A block reference as a mapping of the plane. Raises UnfitError where it tilts or squashes."""
    # plain numbers: those of the library's matrices are of another kind, and so all they touch
    m = [float(value) for value in insert.matrix44()]
    size = max(abs(v) for v in (m[0], m[1], m[4], m[5]))
    squashed = abs(m[0] * m[5] - m[1] * m[4]) <= 1e-12 * size * size
    if size == 0.0 or squashed or max(abs(m[2]), abs(m[6])) > 1e-9 * size:
        raise UnfitError(
            "E710",
            f"{named(insert)} of block `{readable(insert.dxf.name)}` is tilted or has a scale of 0",
            "place the block flat, seen from above",
        )
    return Flat(m[0], m[1], m[4], m[5], m[12], m[13])
