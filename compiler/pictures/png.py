"""A picture as PNG, for places that show no SVG: painted large with Pillow, then brought down.

Even-odd fills, dashes and clips are worked out here, as Pillow has none of them.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

from PIL import Image, ImageChops, ImageDraw, ImageFont, PngImagePlugin

from compiler.geometry import Arc, Segment
from compiler.pictures.display import Item, Pen, Picture, Run, Words
from compiler.pictures.svg import MARGIN

DPI = 200
_FINER = 3  # painted that much larger
_CHORD = 0.02  # mm on paper between arcs and chords
_BAND = 24  # dots: a wider line is painted as polygons
_WEDGE = 0.1  # rad between the spokes of a joint
_FONTS = Path(__file__).resolve().parent.parent / "sheet" / "fonts"
_MOST_PIXELS = 40_000_000  # of the finished picture

Place = tuple[float, float]


def png(picture: Picture, title: str, dpi: int = DPI) -> bytes:
    """The picture as a whole PNG file in greys; `title` goes in as its description."""
    wide, tall = picture.width + 2 * MARGIN, picture.height + 2 * MARGIN
    dots = dpi / 25.4
    dots *= min(1.0, math.sqrt(_MOST_PIXELS / (wide * tall * dots * dots)))
    sheet = _Sheet(picture, dots * _FINER)
    for item in picture.items:
        sheet.draw(item)
    size = (round(wide * dots), round(tall * dots))
    small = sheet.image.resize(size, Image.Resampling.BOX)
    about = PngImagePlugin.PngInfo()
    about.add_itxt("Title", "".join(c if c.isprintable() else " " for c in title))
    out = io.BytesIO()
    small.save(out, "PNG", optimize=True, dpi=(dots * 25.4, dots * 25.4), pnginfo=about)
    return out.getvalue()


class _Sheet:
    """A grey image in the making; `dots` of it make a millimetre of paper."""

    def __init__(self, picture: Picture, dots: float) -> None:
        self.dots = dots
        self.height = picture.height
        size = (
            math.ceil((picture.width + 2 * MARGIN) * dots),
            math.ceil((picture.height + 2 * MARGIN) * dots),
        )
        self.image = Image.new("L", size, 255)

    def draw(self, item: Item) -> None:
        """Paint one item over what is there."""
        if isinstance(item, Words):
            self._words(item)
        elif item.within:
            below = self.image.copy()
            self._run(item)
            self.image = Image.composite(self.image, below, self._mask(item.within))
        else:
            self._run(item)

    def _run(self, item: Run) -> None:
        if item.fill is not None:
            self.image.paste(round(255 * item.fill), mask=self._mask(item.runs))
        if item.pen is None:
            return
        pencil = ImageDraw.Draw(self.image)
        for run in item.runs:
            places = self._places(run, item.closed)
            for dash in _dashed(places, [d * self.dots for d in item.pen.dash]):
                self._stroke(pencil, dash, item.pen)

    def _stroke(self, pencil: ImageDraw.ImageDraw, places: list[Place], pen: Pen) -> None:
        grey, width = round(255 * pen.grey), max(1, round(pen.width * self.dots))
        if width > _BAND:
            for shape in _band(places, width / 2):
                pencil.polygon(shape, fill=grey)
        else:
            pencil.line(places, fill=grey, width=width, joint="curve")
        if width > 2:
            for x, y in (places[0], places[-1]):
                half = width / 2
                pencil.ellipse((x - half, y - half, x + half, y + half), fill=grey)

    def _mask(self, runs: tuple[tuple[Segment, ...], ...]) -> Image.Image:
        """The inside of closed runs by the even-odd rule."""
        mask = Image.new("1", self.image.size, 0)
        for run in runs:
            places = self._places(run, closed=True)
            if len(places) > 2:
                ring = Image.new("1", self.image.size, 0)
                ImageDraw.Draw(ring).polygon(places, fill=1)
                mask = ImageChops.logical_xor(mask, ring)
        return mask

    def _places(self, run: tuple[Segment, ...], closed: bool) -> list[Place]:
        """A run as chords, in dots."""
        if not run:
            return []
        places = [self._at(run[0].start.x, run[0].start.y)]
        for segment in run:
            count = 1
            if isinstance(segment, Arc):
                step = 2 * math.acos(max(0.0, 1 - _CHORD / max(segment.radius, _CHORD)))
                count = max(2, math.ceil(abs(segment.sweep) / step))
            places += [self._at(*segment.at(k / count)) for k in range(1, count + 1)]
        return [*places, places[0]] if closed else places

    def _at(self, x: float, y: float) -> Place:
        return (x + MARGIN) * self.dots, (self.height - y + MARGIN) * self.dots

    def _words(self, item: Words) -> None:
        font = _font(item.bold, max(1, round(item.size * self.dots)))
        text = "".join(c if c.isprintable() else " " for c in item.text)
        anchor = {"start": "ls", "middle": "ms", "end": "rs"}[item.anchor]
        at = self._at(*item.at)
        if not item.angle:
            pencil = ImageDraw.Draw(self.image)
            if item.halo:
                around = 0.3 * self.dots
                low_x, low_y, high_x, high_y = pencil.textbbox(at, text, font=font, anchor=anchor)
                box = (low_x - around, low_y - around, high_x + around, high_y + around)
                pencil.rectangle(box, fill=255)
            pencil.text(at, text, fill=0, font=font, anchor=anchor)
            return
        # turned about its place: painted on a sheet of its own that is as large as the text
        reach = math.ceil(font.getlength(text)) + 2 * math.ceil(item.size * self.dots)
        own = Image.new("L", (2 * reach, 2 * reach), 0)
        ImageDraw.Draw(own).text((reach, reach), text, fill=255, font=font, anchor=anchor)
        turned = own.rotate(math.degrees(item.angle), Image.Resampling.BICUBIC)
        corner = (round(at[0]) - reach, round(at[1]) - reach)
        self.image.paste(0, (*corner, corner[0] + 2 * reach, corner[1] + 2 * reach), turned)


@lru_cache(maxsize=16)
def _font(bold: bool, size: int) -> ImageFont.FreeTypeFont:
    name = f"DejaVuSansCondensed{'-Bold' if bold else ''}.ttf"
    return ImageFont.truetype(_FONTS / name, size)


def _band(places: list[Place], half: float) -> Iterator[list[Place]]:
    """A wide line as polygons: one for each chord, and wedges where they meet.

    Pillow's own joints leave hairs between the chords of wide arcs.
    """
    before: Place | None = None
    for (ax, ay), (bx, by) in pairwise(places):
        length = math.hypot(bx - ax, by - ay)
        if length == 0:
            continue
        nx, ny = (ay - by) / length * half, (bx - ax) / length * half
        yield [(ax + nx, ay + ny), (bx + nx, by + ny), (bx - nx, by - ny), (ax - nx, ay - ny)]
        if before is not None:
            mx, my = before
            steps = max(
                1, math.ceil(abs(math.atan2(mx * ny - my * nx, mx * nx + my * ny)) / _WEDGE)
            )
            for side in (1, -1):
                yield [
                    (ax, ay),
                    *_wedge((ax, ay), (side * mx, side * my), (side * nx, side * ny), steps),
                ]
        before = nx, ny


def _wedge(middle: Place, first: Place, last: Place, steps: int) -> Iterator[Place]:
    """Places round a middle from one spoke to another."""
    angle = math.atan2(
        first[0] * last[1] - first[1] * last[0], first[0] * last[0] + first[1] * last[1]
    )
    for k in range(steps + 1):
        s, c = math.sin(angle * k / steps), math.cos(angle * k / steps)
        yield middle[0] + first[0] * c - first[1] * s, middle[1] + first[0] * s + first[1] * c


def _dashed(places: list[Place], dash: list[float]) -> Iterator[list[Place]]:
    """A polyline cut into its dashes; whole where the pen has none."""
    if len(places) < 2:
        return
    if not dash:
        yield places
        return
    index, room, drawn = 0, dash[0], [places[0]]
    for a, b in pairwise(places):
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        done = 0.0
        while length - done > room:
            done += room
            at = (a[0] + (b[0] - a[0]) * done / length, a[1] + (b[1] - a[1]) * done / length)
            if index % 2 == 0:
                yield [*drawn, at]
            index, drawn = (index + 1) % len(dash), [at]
            room = dash[index]
        room -= length - done
        drawn.append(b)
    if index % 2 == 0 and len(drawn) > 1:
        yield drawn
