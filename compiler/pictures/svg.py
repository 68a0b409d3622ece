"""A picture as SVG: own writer, same bytes each time, sized in millimetres."""

import math
from xml.sax.saxutils import escape

from compiler.geometry import Arc, Point, Segment
from compiler.pictures.display import Item, Pen, Picture, Run, Words, text_width
from compiler.units.number import short

MARGIN = 4.0  # mm of paper around the picture
FONT = "'DejaVu Sans Condensed', 'DejaVu Sans', sans-serif"


def svg(picture: Picture, title: str) -> str:
    """The picture as a whole SVG file.

    Args:
        picture: What to draw.
        title: For readers who can't see it.
    """
    w, h = _n(picture.width + 2 * MARGIN), _n(picture.height + 2 * MARGIN)
    edge = _n(-MARGIN)
    rows = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" '
        f'viewBox="{edge} {edge} {w} {h}" font-family="{FONT}">',
        f"<title>{_clean(title)}</title>",
        f'<rect x="{edge}" y="{edge}" width="{w}" height="{h}" fill="#fff"/>',
    ]
    for number, item in enumerate(picture.items):
        if isinstance(item, Run) and item.within:
            path = "".join(_path(run, picture.height, True) for run in item.within)
            clip = f'<path d="{path}" clip-rule="evenodd"/>'
            rows.append(f'<clipPath id="within{number}">{clip}</clipPath>')
            rows.append(f'<g clip-path="url(#within{number})">{_item(item, picture.height)}</g>')
        else:
            rows.append(_item(item, picture.height))
    return "\n".join((*rows, "</svg>", ""))


def _n(value: float) -> str:
    return short(value, 3)


def _clean(text: str) -> str:
    """Author's text for XML: no control characters, markup escaped."""
    return escape("".join(c if c.isprintable() else " " for c in text))


def _item(item: Item, height: float) -> str:
    return _run(item, height) if isinstance(item, Run) else _words(item, height)


def _run(item: Run, height: float) -> str:
    path = "".join(_path(run, height, item.closed) for run in item.runs)
    fill = "none" if item.fill is None else _grey(item.fill)
    return f'<path d="{path}" fill="{fill}" fill-rule="evenodd"{_pen(item.pen)}/>'


def _pen(pen: Pen | None) -> str:
    if pen is None:
        return ""
    dash = f' stroke-dasharray="{" ".join(_n(d) for d in pen.dash)}"' if pen.dash else ""
    return (
        f' stroke="{_grey(pen.grey)}" stroke-width="{_n(pen.width)}"{dash}'
        ' stroke-linecap="round" stroke-linejoin="round"'
    )


def _grey(grey: float) -> str:
    return f"#{f'{round(255 * grey):02x}' * 3}"


def _path(run: tuple[Segment, ...], height: float, closed: bool) -> str:
    """A run as path data; SVG's Y grows downwards, so a turn to the left is sweep flag 0."""

    def at(p: Point) -> str:
        return f"{_n(p.x)},{_n(height - p.y)}"

    if not run:
        return ""
    parts = [f"M{at(run[0].start)}"]
    for s in run:
        if not isinstance(s, Arc):
            parts.append(f"L{at(s.end)}")
            continue
        # halves, as a full turn has no meaning in SVG
        halves = (s.part(0, 0.5), s.part(0.5, 1)) if abs(s.sweep) > math.pi else (s,)
        radius = _n(s.radius)
        parts += [f"A{radius} {radius} 0 0 {0 if s.ccw else 1} {at(a.end)}" for a in halves]
    return "".join(parts) + ("Z" if closed else "")


def _words(item: Words, height: float) -> str:
    x, y = item.at.x, height - item.at.y
    turn = f' transform="rotate({_n(-math.degrees(item.angle))} {_n(x)} {_n(y)})"'
    turn = turn if item.angle else ""
    bold = ' font-weight="bold"' if item.bold else ""
    wide = text_width(item.text, item.size)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * wide
    back = (
        f'<rect x="{_n(left)}" y="{_n(y - 0.82 * item.size)}" width="{_n(wide)}" '
        f'height="{_n(1.06 * item.size)}" fill="#fff"{turn}/>'
        if item.halo
        else ""
    )
    return (
        f'{back}<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(item.size)}" '
        f'text-anchor="{item.anchor}"{bold}{turn}>{_clean(item.text)}</text>'
    )
