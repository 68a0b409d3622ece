"""The number printer: decimal arithmetic of the standard library says what is right."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.units.figures import feed, in_job_units
from compiler.units.number import counted, fixed, in_units, length, short

VALUES = st.floats(min_value=-1e9, max_value=1e9, allow_nan=False)
DECIMALS = st.integers(min_value=0, max_value=8)


@given(value=VALUES, decimals=DECIMALS)
def test_fixed_is_the_nearest_decimal(value: float, decimals: int) -> None:
    # General Decimal Arithmetic (as in Python's decimal): quantize of the exact binary value
    exact = Decimal(value).quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
    text = fixed(value, decimals)
    assert Decimal(text) == exact
    assert "e" not in text.lower() and "+" not in text
    assert not (text.startswith("-") and Decimal(text) == 0), "minus nothing"
    assert len(text.partition(".")[2]) == decimals


@given(value=VALUES, decimals=DECIMALS)
def test_short_is_the_same_number(value: float, decimals: int) -> None:
    text = short(value, decimals)
    assert Decimal(text) == Decimal(fixed(value, decimals))
    assert "." not in text or text[-1] not in "0."


@given(value=st.floats(min_value=-1e4, max_value=1e4))
def test_round_trip_within_half_the_last_decimal(value: float) -> None:
    assert abs(float(fixed(value, 4)) - value) <= 0.5e-4 + 1e-12


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(-0.0004, 3, "0.000"), (-0.0, 0, "0"), (1e-7, 3, "0.000"), (1e21, 1, "1" + "0" * 21 + ".0")],
)
def test_corners(value: float, decimals: int, text: str) -> None:
    assert fixed(value, decimals) == text


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_no_number_has_no_text(value: float) -> None:
    with pytest.raises(ValueError, match="no decimal form"):
        fixed(value, 3)


def test_lengths_in_the_jobs_units() -> None:
    assert length(6.35, "inch") == "0.25 in"
    assert length(6.35, "mm") == "6.35 mm"
    assert length(-0.00001, "inch") == "0 in"
    assert in_units(25.4, "inch") == 1.0


def test_one_thing_is_not_many() -> None:
    assert [counted(n, "tool") for n in (0, 1, 2)] == ["0 tools", "1 tool", "2 tools"]
    assert counted(1, "place stays", "places stay") == "1 place stays"
    assert counted(3, "place stays", "places stay") == "3 places stay"


@pytest.mark.parametrize(
    ("value", "unit", "inch"),
    [  # NIST SP 811 appendix B.8: 1 ft is 0.3048 m, 1 hp (550 ft lbf/s) is 745.6999 W
        (30.48, "m/min", (100.0, "ft/min")),
        (1.4914, "kW", (2.0, "hp")),
        (1524.0, "mm/min", (60.0, "in/min")),
    ],
)
def test_every_unit_that_is_shown_has_its_inch_form(
    value: float, unit: str, inch: tuple[float, str]
) -> None:
    number, name = in_job_units(value, unit, "inch")
    assert (round(number, 4), name) == inch
    assert in_job_units(value, unit, "mm") == (value, unit)


def test_feeds_as_people_say_them() -> None:
    assert (feed(1524.0, "inch"), feed(1524.0, "mm")) == ("60 in/min", "1524 mm/min")
