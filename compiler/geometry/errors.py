"""The one exception of the geometry: a shape that cannot be made as it was asked for."""

from __future__ import annotations

import math

from compiler.geometry.point import Point
from compiler.units.number import LENGTH_DECIMALS, SHORT, Units, in_units, short


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

    def worded(self, units: Units) -> tuple[str, str]:
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

    def __init__(self, value: float | Point, units: Units) -> None:
        self._value, self._units = value, units

    def __format__(self, rounding: str) -> str:
        decimals = LENGTH_DECIMALS[self._units]
        if isinstance(self._value, Point):
            x, y = (short(in_units(v, self._units), decimals) for v in self._value)
            return f"({x}, {y})"
        steps = round(in_units(self._value, self._units) * 10**decimals, 3)
        if rounding == "up":
            steps = math.ceil(steps)
        elif rounding == "down":
            steps = math.floor(steps)
        return f"{short(steps / 10**decimals, decimals)} {SHORT[self._units]}"


def too_far(point: Point, index: int | None = None) -> GeometryError:
    """The finding for a place so far out that lengths there are no longer exact."""
    return GeometryError(
        "E301",
        "{at} is more than a kilometre from the origin",
        help="check the units and the decimal point",
        index=index,
        place=point,
        at=point,
    )
