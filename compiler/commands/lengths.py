"""Lengths on the command line: `0.5 in`, `12.7mm`, or a bare number in the units of the work."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from compiler.units.number import Units
from compiler.units.quantity import LENGTH, QuantityError, Sign

Written = float | str

HOW = "a bare number is in inches for work in inches, else in mm; or say `0.5 in`, `12.7mm`"


def length_as(sign: Sign) -> Callable[[str], Written]:
    """A reader for argparse, which refuses in its words what is no length."""

    def length(text: str) -> Written:
        written = _number_or_text(text)
        try:
            LENGTH.read(written, "mm", sign)
        except QuantityError as error:
            raise argparse.ArgumentTypeError(f"{error.message}; {error.help}") from None
        return written

    return length


def in_mm(written: Written | None, units: Units) -> float | None:
    """What was written, in mm; bare numbers are in `units`."""
    return None if written is None else LENGTH.read(written, units)


def _number_or_text(text: str) -> Written:
    try:
        return float(text)
    except ValueError:
        return text.strip()
