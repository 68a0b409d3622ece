"""Damage that once brought the reader down, or went through it unsaid: each a case of its own."""

from __future__ import annotations

import pytest
from dxf_maker import VOICE, as_bytes, codes, document, errors

from compiler.drawing.read import read_drawing
from compiler.drawing.select import Asked, closed_region

CIRCLE = ("0", "CIRCLE", "8", "PLATE", "10", "0.0", "20", "0.0", "40", "5.0")
# a text of which half the place is missing: the strict reader gives up, the patient one does not
BROKEN = ("11", "1", "21", "0", "0", "TEXT", "8", "0", "10", "0")


def entities(*tags: str) -> bytes:
    rows = ("0", "SECTION", "2", "ENTITIES", *tags, "0", "ENDSEC", "0", "EOF", "")
    return "\n".join(rows).encode("latin-1")


def test_an_entity_of_an_unknown_kind_is_named_with_its_layer() -> None:
    wild = ("0", "CIR21CLE", "8", "PLATE", "10", "0.0", "20", "0.0", "40", "1.0")
    read = read_drawing(entities(*CIRCLE, *wild), VOICE, units="mm")
    assert read.value is not None
    assert [(f.code, f.layer) for f in read.value.faults] == [("E710", "PLATE")]
    assert errors(closed_region(read.value, Asked(), VOICE)) == ["E710"]


def test_bytes_of_no_alphabet_are_spelt_out() -> None:
    """A lone surrogate in a message cannot be printed: it ended the program, and once a test run"""
    wild = ("0", "CIR\xff\xe9CLE", "8", "A", *CIRCLE[4:])
    codepage = ("0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1032", "0", "ENDSEC")
    data = entities(*wild, "0", "CIRCLE", "8", "caf\xe9", *CIRCLE[4:])
    data = "\n".join((*codepage, "")).encode() + data  # from this version on text is UTF-8
    read = read_drawing(data, VOICE, units="mm")
    assert read.value is not None, read.findings
    said = " ".join(fault.message for fault in read.value.faults)
    said += " ".join(layer.name for layer in read.value.layers)
    assert said.isprintable() and r"caf\xe9" in said


def test_an_escape_sequence_in_a_layer_name_reaches_no_terminal() -> None:
    made = document(4, "R12")
    made.modelspace().add_circle((0, 0), 5, dxfattribs={"layer": "RED"})
    data = as_bytes(made).replace(b"RED", b"\x1b[2J")
    read = read_drawing(data, VOICE, units="mm")
    assert read.value is not None, read.findings
    (name,) = {d.layer for d in read.value.drawn}
    assert name == r"\x1b[2J"
    region = closed_region(read.value, Asked(layers=(name,)), VOICE)
    assert region.value is not None, region.findings


@pytest.mark.parametrize(
    ("good", "bad"),
    [
        ("\n5.0\n", "\n5x0\n"),  # a radius that would be read as 5
        ("\n 40\n", "\n 4x0\n"),  # the number of a group that would be read as 4
    ],
)
def test_numbers_are_not_guessed(good: str, bad: str) -> None:
    line = ("0", "LINE", "8", "0", "6", "NO*SUCH*TYPE", "10", "0", "20", "0")
    tags = (*CIRCLE[:8], " 40", "5.0", *line, *BROKEN)
    whole = entities(*tags)
    assert codes(read_drawing(whole, VOICE, units="mm")) == ["W701"]
    assert good.encode() in whole
    guessed = read_drawing(whole.replace(good.encode(), bad.encode()), VOICE, units="mm")
    assert errors(guessed) == ["E701"]


def test_layouts_that_do_not_hang_together_are_refused() -> None:
    data = as_bytes(document(4, "R2000"))
    assert read_drawing(data, VOICE).value is not None
    lines = data.splitlines(keepends=True)
    broken = [b"LAYOUX\n" if line.strip() == b"LAYOUT" else line for line in lines]
    assert errors(read_drawing(b"".join(broken), VOICE)) == ["E701"]
