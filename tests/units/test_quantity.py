"""Quantities as text, against published conversion factors and the forms of the language."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.units import quantity
from compiler.units.number import Units
from compiler.units.quantity import MEASURES, Measure, QuantityError, Sign


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("6 mm", 6.0),
        ("6mm", 6.0),
        ("0.25 in", 6.35),
        ("5/8", 15.875),
        ("5/8 in", 15.875),
        ("1-1/4 in", 31.75),
        ("10 thou", 0.254),
        ("0.5 cm", 5.0),
        ('3/8"', 9.525),
        ("-1-1/4", -31.75),
        (".5 in", 12.7),
        ("250 um", 0.25),
        ("1 ft", 304.8),
        ("+2 mm", 2.0),
        ("0 mm", 0.0),
    ],
)
def test_lengths_of_an_inch_file(text: str, mm: float) -> None:
    # the inch is 25.4 mm exactly: NIST SP 811 (2008), appendix B.8
    assert quantity.LENGTH.read(text, "inch") == mm


def test_a_fraction_is_in_the_files_units() -> None:
    assert quantity.LENGTH.read("5/8", "mm") == 0.625


@pytest.mark.parametrize("value", [3, 0.1, 76.2, 1 / 3, -4])
def test_bare_numbers_are_in_the_files_units(value: float) -> None:
    assert quantity.LENGTH.read(value, "mm") == round(value, 10)
    assert quantity.LENGTH.read(value, "inch") == pytest.approx(value * 25.4, abs=1e-10)
    assert quantity.LENGTH.read(3, "inch") == 76.2, "no noise in the last digit"


# NIST SP 811 (2008), appendix B.8: factors to SI, as printed there
SP_811 = [
    (quantity.SURFACE_SPEED, "1 ft/min", 5.08e-3 * 60, 1e-12),  # m/s, exact
    (quantity.POWER, "1 hp", 7.456999e2 / 1000, 5e-8),  # W, horsepower (550 ft lbf/s)
    (quantity.TORQUE, "1 lbf ft", 1.355818, 5e-7),  # N m
    (quantity.TORQUE, "1 lbf in", 1.129848e-1, 5e-8),  # N m
    (quantity.FEED, "1 in/min", 2.54e-2 * 1000, 1e-12),  # m, exact
    (quantity.ANGLE, "1 deg", 1.745329e-2, 5e-9),  # rad
    (quantity.TIME, "1 min", 60.0, 0.0),  # s, exact
]


@pytest.mark.parametrize(("measure", "text", "value", "within"), SP_811)
def test_factors_of_sp_811(measure: Measure, text: str, value: float, within: float) -> None:
    assert measure.read(text, "mm") == pytest.approx(value, abs=within, rel=0)


def test_unit_power_is_a_specific_cutting_force() -> None:
    # 1 hp over 1 in3/min is 745.69987 W over 16387.064 mm3 / 60 s, from SP 811 B.8: plane
    # arithmetic, derived; and 1 J/mm3 = 1000 N/mm2
    assert quantity.UNIT_POWER.read("1 hp/(in3/min)", "mm") == pytest.approx(
        745.69987 / (16387.064 / 60) * 1000, rel=1e-7
    )
    assert quantity.UNIT_POWER.read("1 kW/(cm3/min)", "mm") == 60_000.0


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("6 mn", "no unit"),
        ("0.25", "without a unit"),
        ("abc", "not a length"),
        ("", "not a length"),
        ("1/0", "not a length"),
        ("0/4", "not a length"),
        ("6 mm mm", "no unit"),
        ("1e5 mm", "no unit"),
        ("٣ mm", "not a length"),
        ("6,5 mm", "no unit"),
        ("nan mm", "not a length"),
        ("1234567 mm", "not a length"),
    ],
)
def test_text_that_is_no_length(text: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says) as caught:
        quantity.LENGTH.read(text, "mm")
    assert caught.value.help


@pytest.mark.parametrize("value", [True, None, [], {}])
def test_values_that_are_no_quantity(value: object) -> None:
    with pytest.raises(QuantityError, match="expected a length"):
        quantity.LENGTH.read(value, "mm")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e6, 1e300])
def test_numbers_beyond_every_machine(value: float) -> None:
    with pytest.raises(QuantityError, match="out of range"):
        quantity.LENGTH.read(value, "mm")


@pytest.mark.parametrize("value", [0, -1, "0 mm", "0.000 in", "-1 mm", "-1/2"])
def test_sizes_are_more_than_nothing(value: object) -> None:
    with pytest.raises(QuantityError, match="more than 0") as caught:
        quantity.LENGTH.read(value, "mm", "positive")
    assert caught.value.out_of_range


AMOUNTS = st.from_regex(r"[-+]?[0-9]{0,7}(\.[0-9]{0,3})?(-?[0-9]{1,2}/[0-9]{1,2})?", fullmatch=True)
SIGNS = st.sampled_from(["any", "positive", "not negative"])
UNITS_OF_FILE = st.sampled_from(["inch", "mm"])


@given(
    measure=st.sampled_from(MEASURES),
    amount=AMOUNTS,
    gap=st.sampled_from(["", " ", "  "]),
    data=st.data(),
    sign=SIGNS,
    units=UNITS_OF_FILE,
)
def test_the_pattern_is_the_grammar(
    measure: Measure, amount: str, gap: str, data: st.DataObject, sign: Sign, units: Units
) -> None:
    """What the published pattern matches can be read, and has the sign asked for; nothing else."""
    unit = data.draw(st.sampled_from([*measure.units, "mn", ""]))
    text = f"{amount}{gap}{unit}"
    matches = re.search(measure.pattern(sign), text) is not None
    try:
        value = measure.read(text, units, sign)
    except QuantityError:
        assert not matches
        return
    assert matches
    assert math.isfinite(value)
    assert sign != "positive" or value > 0 or "/" in text
    assert sign != "not negative" or value >= 0


@given(text=st.text(max_size=30), measure=st.sampled_from(MEASURES))
def test_any_text_is_read_or_refused(text: str, measure: Measure) -> None:
    try:
        assert math.isfinite(measure.read(text, "mm"))
    except QuantityError as error:
        assert error.message and error.help
