"""The one exception of the geometry: a shape that cannot be made as it was asked for."""

from __future__ import annotations

import math
from typing import Literal

from compiler.geometry.point import Point

MM_PER_INCH = 25.4


class GeometryError(Exception):
    """A shape that cannot be made. `spec` turns it into a located Diagnostic.

    `message` and `help` read in millimetres; `worded` gives them in the author's units.

    Attributes:
        code: Key of the table of codes, as `E303`.
        index: Which point, step or outline is at fault, from 0 (-1: the last); None for the whole.
        place: Where in the plane, mm, if there is one place.
        values: The facts behind the words: floats are lengths in mm, points places.
    """

    def __init__(
        self,
        code: str,
        message: str,
        *,
        help: str = "",
        index: int | None = None,
        place: Point | None = None,
        **values: float | Point | str,
    ) -> None:
        """`message` and `help` are templates of `values`; `{x:up}`, `{x:down}` round that way."""
        self.code = code
        self.index = index
        self.place = place
        self.values = values
        self._templates = (message, help)
        super().__init__(self.message)

    @property
    def message(self) -> str:
        """One fact, lower case, no full stop; lengths in mm."""
        return self.worded("mm")[0]

    @property
    def help(self) -> str:
        """What to do, with a number worth trying where geometry gives one; lengths in mm."""
        return self.worded("mm")[1]

    def worded(self, units: Literal["mm", "inch"]) -> tuple[str, str]:
        """Message and help, with every length in the given units."""
        shown = {
            name: value if isinstance(value, str) else _Shown(value, units)
            for name, value in self.values.items()
        }
        message, help = self._templates
        return message.format(**shown), help.format(**shown)

    def at_index(self, index: int) -> GeometryError:
        """The same error, blamed on another point, step or outline."""
        message, help = self._templates
        return GeometryError(
            self.code, message, help=help, index=index, place=self.place, **self.values
        )


class _Shown:
    """A length or a place as it stands in a sentence."""

    def __init__(self, value: float | Point, units: Literal["mm", "inch"]) -> None:
        self._value, self._units = value, units

    def __format__(self, rounding: str) -> str:
        if isinstance(self._value, Point):
            return f"({self._number(self._value.x, '')}, {self._number(self._value.y, '')})"
        return f"{self._number(self._value, rounding)} {'mm' if self._units == 'mm' else 'in'}"

    def _number(self, value: float, rounding: str) -> str:
        if self._units == "inch":
            value /= MM_PER_INCH
        steps = round(value * 1e4, 3)
        match rounding:
            case "up":
                steps = math.ceil(steps)
            case "down":
                steps = math.floor(steps)
            case _:
                steps = round(steps)
        return f"{steps / 1e4 + 0.0:.4f}".rstrip("0").rstrip(".")
