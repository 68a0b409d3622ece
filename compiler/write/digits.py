"""From millimetres to the digits of a program: every coordinate is a whole number of steps.

Counting in steps of the last decimal is what makes modal suppression, the sum of start and centre
offset, and the radius rule of arcs exact: nothing is rounded twice and there is no `-0`.
"""

from dataclasses import dataclass

from compiler.units.number import MM_PER_INCH, short

# NISTIR 6556 sec. 3.5.3.2: the two radii of an arc may differ by no more than this.
RADIUS_RULE_MM = 0.002
RADIUS_RULE_INCH = 0.0002


@dataclass(frozen=True, slots=True, kw_only=True)
class Digits:
    """How many decimals a program carries.

    Attributes:
        inch: Whether the program is in inches.
        places: Decimals of a point where no arc starts or ends.
        arc_places: Decimals of a point on an arc, and of its centre offset: not below `places`.
    """

    inch: bool
    places: int
    arc_places: int

    @property
    def step(self) -> float:
        """One step of the last decimal on arcs, mm."""
        return (MM_PER_INCH if self.inch else 1.0) / 10.0**self.arc_places

    @property
    def radius_rule(self) -> float:
        """How far the two radii of an arc may differ, in steps."""
        return (RADIUS_RULE_INCH if self.inch else RADIUS_RULE_MM) * 10.0**self.arc_places

    def steps(self, mm: float) -> float:
        """A length in steps, not rounded."""
        return (mm / MM_PER_INCH if self.inch else mm) * 10.0**self.arc_places

    def fine(self, mm: float) -> int:
        """A length in whole steps, to the decimals of arcs."""
        return round(self.steps(mm))

    def coarse(self, mm: float) -> int:
        """A length in whole steps, to the decimals of straight lines."""
        coarser = int(10.0 ** (self.arc_places - self.places))
        return round(self.steps(mm) / coarser) * coarser

    def text(self, steps: int) -> str:
        """Whole steps as a decimal number with a point: `12.5`, `-0.001`, `3.0`."""
        return pointed(steps / 10.0**self.arc_places, self.arc_places)

    def feed(self, mm_min: float, limit: float) -> str:
        """A feed word's number: mm/min with 1 decimal, in/min with 2; at most `limit`.

        Args:
            mm_min: The feed wanted, mm/min.
            limit: The machine's greatest feed, mm/min.
        """
        places = 2 if self.inch else 1
        unit = MM_PER_INCH if self.inch else 1.0
        count = round(mm_min / unit * 10**places)
        while count > 1 and count * unit / 10**places > limit:
            count -= 1
        return pointed(max(count, 1) / 10**places, places)


def pointed(value: float, places: int) -> str:
    """A number with its point always written: some controls read `X3` as three last steps."""
    text = short(value, places)
    return text if "." in text else f"{text}.0"


def digits_for(*, inch: bool, decimals: int | None) -> Digits:
    """The decimals of a program: the shop's own for all words, else mm 3 and arcs 4, inch 4 and 5.

    One decimal more on arcs, because with 3 and 4 about two arcs in ten thousand break the radius
    rule by rounding alone (see tests/write/test_rounding_study.py).
    """
    if decimals is not None:
        return Digits(inch=inch, places=decimals, arc_places=decimals)
    return Digits(inch=inch, places=4 if inch else 3, arc_places=5 if inch else 4)
