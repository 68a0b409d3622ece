"""What `measure` and `draft` share: a file read and surveyed as the words of the command say."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.lengths import HOW, in_mm, length_as
from compiler.diagnostics import Diagnostic, Outcome
from compiler.spec.root import find_root

if TYPE_CHECKING:
    from compiler.drawing.voice import Voice
    from compiler.spec.shop import ShopFile
    from compiler.survey.model import Survey
    from compiler.units.number import Units

MODELS = (".stp", ".step", ".p21")


@dataclass(frozen=True, slots=True)
class Surveyed:
    """A survey, and the shop whose cutters it was held against."""

    survey: Survey
    shop: ShopFile | None
    shop_path: Path | None


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The words that say what to read and how."""
    parser.add_argument("file", metavar="FILE", help="a drawing (.dxf) or a solid model (.step)")
    parser.add_argument(
        "--units", choices=("inch", "mm"), help="a drawing's units, where it does not say its own"
    )
    parser.add_argument(
        "--layer", action="append", metavar="NAME", help="only this layer, or a pattern; repeatable"
    )
    parser.add_argument(
        "--blank",
        metavar="NAME",
        help="the layer of the loop that is the blank, in which the others stand; `none` where no "
        "loop is (default: the one that goes round all others, they being on other layers)",
    )
    parser.add_argument(
        "--join-gap",
        type=length_as("not negative"),
        metavar="LENGTH",
        help=f"join ends nearer than this (default: 0.13 mm, 0.005 in); {HOW}",
    )
    parser.add_argument(
        "--up",
        choices=("x", "-x", "y", "-y", "z", "-z"),
        default="z",
        help="a model's direction that points up (default: %(default)s)",
    )
    parser.add_argument(
        "--floor",
        type=length_as("any"),
        metavar="LENGTH",
        help="Z that a model is cut down to, as `--floor=-6mm`",
    )
    parser.add_argument(
        "--shop", metavar="SHOP", help="shop file with the crib (default: the nearest shop.yaml)"
    )


def survey_file(asked: argparse.Namespace, z_top: bool) -> Outcome[Surveyed]:
    """The file surveyed; with `z_top` a model's highest place is Z0."""
    from compiler.spec.files import first_file
    from compiler.survey.crib import find_shop, load_shop, with_cutters

    path = Path(asked.file)
    root = find_root(path)
    limit = 64 * 1024 * 1024
    found = first_file(path, root, limit)
    if found.value is None:
        return Outcome(None, found.findings)
    surveyed = _of_bytes(found.value.data, path, asked, z_top)
    findings: list[Diagnostic] = list(surveyed.findings)
    if surveyed.value is None:
        return Outcome(None, tuple(findings))
    shop_path = Path(asked.shop) if asked.shop else find_shop(path.resolve().parent, root)
    if shop_path is None:
        return Outcome(Surveyed(surveyed.value, None, None), tuple(findings))
    shop = load_shop(shop_path, find_root(shop_path))
    findings += shop.findings
    if shop.value is None:
        return Outcome(None, tuple(findings))
    measured = with_cutters(surveyed.value, shop.value)
    return Outcome(Surveyed(measured, shop.value, shop_path), tuple(findings))


def _of_bytes(data: bytes, path: Path, asked: argparse.Namespace, z_top: bool) -> Outcome[Survey]:
    from compiler.drawing.voice import Voice

    name = path.name
    if path.suffix.lower() in MODELS or data.lstrip()[:13] == b"ISO-10303-21;":
        return _model(data, Voice(name), asked, z_top)
    return _drawing(data, Voice(name), asked)


def _drawing(data: bytes, voice: Voice, asked: argparse.Namespace) -> Outcome[Survey]:
    from compiler.drawing.model import JOIN_GAP
    from compiler.drawing.read import read_drawing
    from compiler.drawing.voice import Voice
    from compiler.survey.drawings import survey_drawing

    read = read_drawing(data, voice, units=asked.units)
    if read.value is None:
        return Outcome(None, read.findings)
    show: Units = "inch" if read.value.units in ("inch", "foot", "thou") else "mm"
    gap = in_mm(asked.join_gap, show)
    gap = JOIN_GAP if gap is None else gap
    made = survey_drawing(read.value, Voice(voice.name, show), show, asked.layer, gap, asked.blank)
    return Outcome(made.value, (*read.findings, *made.findings))


def _model(data: bytes, voice: Voice, asked: argparse.Namespace, z_top: bool) -> Outcome[Survey]:
    from compiler.drawing.voice import Voice
    from compiler.solid.orient import laid
    from compiler.solid.read import read_solid
    from compiler.survey.solids import survey_solid

    read = read_solid(data, voice)
    if read.value is None:
        return Outcome(None, read.findings)
    show: Units = "inch" if "inch" in read.value.units else "mm"
    spoken = Voice(voice.name, show)
    turned = laid(read.value, spoken, up=asked.up, z0="top" if z_top else None)
    if turned.value is None:
        return Outcome(None, (*read.findings, *turned.findings))
    made = survey_solid(turned.value, spoken, show, in_mm(asked.floor, show))
    return Outcome(made.value, (*read.findings, *made.findings))
