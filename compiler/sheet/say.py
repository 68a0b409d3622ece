"""Quantities in the words of the sheet: the job's units first, the other in brackets."""

from dataclasses import dataclass

from compiler.units.number import (
    LENGTH_DECIMALS,
    MM_PER_INCH,
    Units,
    fixed,
    in_units,
    length,
    short,
)

OTHER: dict[Units, Units] = {"inch": "mm", "mm": "inch"}


@dataclass(frozen=True, slots=True)
class Say:
    """Prints lengths (mm), feeds (mm/min), times (s) and volumes (mm3) for one job's units."""

    units: Units

    @property
    def unit(self) -> str:
        """`in` or `mm`."""
        return "in" if self.units == "inch" else "mm"

    def length(self, mm: float) -> str:
        """`0.25 in`."""
        return length(mm, self.units)

    def both(self, mm: float) -> str:
        """`0.25 in (6.35 mm)`."""
        return f"{length(mm, self.units)} ({length(mm, OTHER[self.units])})"

    def bare(self, mm: float) -> str:
        """`0.25`."""
        return short(in_units(mm, self.units), LENGTH_DECIMALS[self.units])

    def z(self, mm: float) -> str:
        """A height with its sign and all its decimals, so that a column lines up: `-0.5000`."""
        return fixed(in_units(mm, self.units), LENGTH_DECIMALS[self.units])

    def feed(self, mm_min: float) -> str:
        """`36.2` in/min or `920` mm/min, bare."""
        places = 1 if self.units == "inch" or mm_min < 100 else 0
        return short(in_units(mm_min, self.units), places)

    @property
    def feed_unit(self) -> str:
        """`in/min` or `mm/min`."""
        return f"{self.unit}/min"

    def volume(self, mm3: float) -> str:
        """Cubic inches or cubic centimetres."""
        if self.units == "inch":
            return f"{short(mm3 / MM_PER_INCH**3, 3)} in³"
        return f"{short(mm3 / 1000, 2)} cm³"

    def area(self, mm2: float) -> str:
        """Square inches or square millimetres."""
        if self.units == "inch":
            return f"{short(mm2 / MM_PER_INCH**2, 4)} in²"
        return f"{short(mm2, 1)} mm²"


def time(seconds: float) -> str:
    """`4 min 05 s`, `1 h 12 min`."""
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02d} s"
    return f"{whole // 3600} h {whole % 3600 // 60:02d} min"
