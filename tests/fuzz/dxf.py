"""Wild drawings: a corpus of every kind of entity, changed, and drawings grown from nothing.

Each is read, joined, picked from, surveyed, told and drawn, twice: the second time must give the
same. What takes long is done once, so that the bound is on one time: a drawing of twenty thousand
pieces is as wild as that.
"""

from __future__ import annotations

import io
import math
import random
import time
from functools import cache
from pathlib import Path

from kind import NUMBERS, Kind, changed

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT.parent / "shared" / "data" / "dxf"
LONG = 1.0  # s of the processor
MOST_BYTES = 40_000  # of a drawing in the corpus: larger ones are changed too seldom where it hurts


def make(chance: random.Random) -> bytes:
    """A drawing: three in four changed from the corpus, the rest grown."""
    if chance.random() < 0.25:
        return grown(chance)
    return changed(chance, chance.choice(corpus()), corpus())


@cache
def corpus() -> tuple[bytes, ...]:
    """Small drawings of our own with every entity, in text and binary; the examples; samples."""
    made = [_everything(v, b) for v in ("R12", "R2000", "R2018") for b in (False, True)]
    made.append(_bare())
    made += [f.read_bytes() for f in sorted((ROOT / "specs").rglob("*.dxf"))]
    if SAMPLES.exists():
        made += [f.read_bytes() for f in sorted(SAMPLES.iterdir()) if f.suffix.lower() == ".dxf"]
    return tuple(data for data in made if len(data) <= MOST_BYTES)


def _bare() -> bytes:
    """An entities section alone, where every byte counts."""
    tags = ["0", "SECTION", "2", "ENTITIES"]
    for i in range(6):
        tags += ["0", "LINE", "8", "A", "10", f"{i}", "20", "0", "11", f"{i + 1}", "21", "0.5"]
        tags += ["0", "CIRCLE", "8", "B", "10", f"{i}", "20", "9", "40", "0.4"]
        tags += ["0", "ARC", "8", "C", "10", f"{i}", "20", "5", "40", "1", "50", "0", "51", "180"]
    return "\n".join([*tags, "0", "ENDSEC", "0", "EOF", ""]).encode()


def _everything(version: str, binary: bool) -> bytes:
    """A drawing with one of everything that is read."""
    import ezdxf

    document = ezdxf.new(version)
    document.header["$INSUNITS"] = 4
    for name in ("PLATE", "HOLES", "OFF"):
        document.layers.add(name)
    document.layers.get("OFF").off()
    block = document.blocks.new("BLOCK", base_point=(1, 1))
    block.add_circle((1, 1), 0.5)
    block.add_line((0, 0), (2, 0))
    nest = document.blocks.new("NEST")
    nest.add_blockref("BLOCK", (3, 0), dxfattribs={"rotation": 30, "xscale": -2})
    model = document.modelspace()
    corners = [(0, 0, 0), (40, 0, 0.4), (40, 30, 0), (0, 30, 0)]
    if version == "R12":
        model.add_polyline2d(corners, format="xyb", close=True, dxfattribs={"layer": "PLATE"})
    else:
        model.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": "PLATE"})
        model.add_ellipse((20, 15), major_axis=(4, 1), ratio=0.4)
        model.add_open_spline([(50, 0), (60, 15), (75, -5), (90, 12)], degree=3)
        spline = model.add_spline(degree=2)
        spline.control_points = [(50, 30, 0), (60, 45, 0), (70, 30, 0)]
        spline.knots, spline.weights = [0, 0, 0, 1, 1, 1], [1, 0.7, 1]
    model.add_circle((10, 10), 3, dxfattribs={"layer": "HOLES"})
    model.add_arc((30, 10), 3, 10, 200)
    model.add_line((30, 20), (50, 20))
    model.add_line((0, 40), (9, 40), dxfattribs={"layer": "OFF"})
    model.add_point((5, 5))
    model.add_text("M6")
    model.add_blockref("NEST", (60, 60), dxfattribs={"row_count": 2, "row_spacing": 9})
    if binary:
        stream = io.BytesIO()
        document.write(stream, fmt="bin")
        return stream.getvalue()
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("utf-8")


def grown(chance: random.Random) -> bytes:
    """A drawing that is sound as a file and mad as geometry: crowded, tiny, huge, touching."""
    grid = chance.choice((1.0, 0.13, 0.001, 1e-6, 1000.0, 1e6))
    shift = chance.choice((0.0, 0.0, 0.0, 1e5, -3e5, 9.9e5))

    def number() -> str:
        if chance.random() < 0.03:
            return chance.choice(NUMBERS).decode()
        value = shift + grid * chance.randrange(-4, 5) + chance.choice((0, 0, 0, 1e-4, 1e-7, 0.05))
        return repr(value)

    tags = ["0", "SECTION", "2", "ENTITIES"]
    for _ in range(chance.choice((2, 6, 20, 60))):
        kind = chance.choice(("LINE", "LINE", "LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE"))
        tags += ["0", kind, "8", chance.choice("AB0")]
        size = repr(grid * chance.choice((1, 1, 2, 1e-3, 1e-6, 0.5, 1e4)))
        turn = [repr(chance.choice((0, 90, 180, 270, 360, 45, 1e-7, 89.9999))) for _ in "ab"]
        place = ["10", number(), "20", number()]
        match kind:
            case "LINE":
                tags += [*place, "11", number(), "21", number()]
            case "ARC":
                tags += [*place, "40", size, "50", turn[0], "51", turn[1]]
            case "CIRCLE":
                tags += [*place, "40", size]
            case "ELLIPSE":
                ratio = repr(chance.choice((1, 0.5, 1e-3, 1e-7, 0.999999)))
                tags += [*place, "11", size, "21", number(), "40", ratio]
                tags += ["41", "0", "42", repr(chance.choice((math.tau, math.pi, 1e-6)))]
            case _:
                count = chance.randrange(2, 9)
                tags += ["100", "AcDbEntity", "100", "AcDbPolyline"]
                tags += ["90", str(count), "70", chance.choice("01")]
                for _ in range(count):
                    bulge = repr(chance.choice((0, 0, 0, 1, -1, 0.4142, 1e-9, 1e6, -1e-4)))
                    tags += ["10", number(), "20", number(), "42", bulge]
    return "\n".join([*tags, "0", "ENDSEC", "0", "EOF", ""]).encode()


def try_out(data: bytes) -> str:
    """How it ended: the codes that refused it, or what was made of it."""
    begun = time.process_time()
    first = _whole(data)
    if time.process_time() - begun < LONG and _whole(data) != first:
        raise AssertionError("the same bytes read twice give two things")
    return first[0]


def _whole(data: bytes) -> tuple[str, ...]:
    from compiler.drawing.read import read_drawing
    from compiler.drawing.select import Asked, Memo, closed_region, open_chain
    from compiler.drawing.voice import Voice
    from compiler.geometry import Point
    from compiler.survey.drawings import survey_drawing
    from compiler.survey.picture import picture
    from compiler.survey.words import text

    voice = Voice("wild.dxf")
    read = read_drawing(data, voice, units="mm")
    told = [_findings(read.findings)]
    if read.value is None:
        if not told[0]:
            raise AssertionError("refused without a word")
        return ("refused: " + ", ".join(sorted({f.code for f in read.findings})), *told)
    if not all(math.isfinite(v) for d in read.value.drawn for v in d.segment.bounds):
        raise AssertionError("a place that is no number")
    for piece in (d.segment for d in read.value.drawn):
        places = [getattr(piece, name, None) for name in ("start", "end", "centre")]
        kinds = {type(c) for p in places if p is not None for c in p}
        if kinds != {float} or type(getattr(piece, "ccw", True)) is not bool:
            raise AssertionError(f"numbers of another kind: {piece}")
    memo = Memo()  # as the shapes of one job have
    for asked in (
        Asked(on_unclosed="ignore"),
        Asked(containing=Point(5.0, 5.0), on_unclosed="ignore", join_gap=0.5),
        Asked(layers=("A", "PLATE"), arcs_within=0.01),
    ):
        region = closed_region(read.value, asked, voice, memo)
        told.append(_findings(region.findings) + repr(region.value))
    chain = open_chain(read.value, Asked(), voice, memo)
    told.append(_findings(chain.findings) + repr(chain.value))
    survey = survey_drawing(read.value, voice, "mm")
    told.append(_findings(survey.findings))
    if survey.value is not None:
        told += [text(survey.value), repr(picture(survey.value))]
    "".join(told).encode("utf-8")  # lone surrogates would end the program when it prints them
    return ("read", *told)


def _findings(findings: object) -> str:
    return repr(findings) if findings else ""


KIND = Kind("dxf", make, try_out)
