"""Numbers of a program: whole steps, no exponent, no minus nought, feeds inside the limit."""

import re

from hypothesis import given
from hypothesis import strategies as st

from compiler.write.digits import digits_for

# NISTIR 6556 sec. 3.3.2.1: optional sign, digits, optional point, digits; no exponent.
NUMBER = re.compile(r"-?\d+\.\d+")


@given(st.floats(-2000, 2000), st.booleans(), st.sampled_from([None, 2, 3, 4, 5]))
def test_a_number_is_one_and_says_the_length_within_half_a_step(mm, inch, decimals):
    digits = digits_for(inch=inch, decimals=decimals)
    text = digits.text(digits.fine(mm))
    assert NUMBER.fullmatch(text)
    assert not re.fullmatch(r"-0+\.0+", text)
    assert abs(float(text) * (25.4 if inch else 1) - mm) <= digits.step / 2 * 1.000001


@given(st.floats(-2000, 2000), st.booleans())
def test_a_straight_line_has_one_decimal_fewer_than_an_arc(mm, inch):
    digits = digits_for(inch=inch, decimals=None)
    assert len(digits.text(digits.coarse(mm)).split(".")[1]) <= (4 if inch else 3)


def test_the_standards_own_decimals():
    assert (digits_for(inch=False, decimals=None).places) == 3
    assert (digits_for(inch=False, decimals=None).arc_places) == 4
    assert (digits_for(inch=True, decimals=None).places) == 4
    assert (digits_for(inch=True, decimals=None).arc_places) == 5


@given(st.floats(0.001, 20000), st.floats(1, 20000), st.booleans())
def test_a_feed_is_never_above_the_limit_and_never_nought(feed, limit, inch):
    number = digits_for(inch=inch, decimals=None).feed(min(feed, limit), limit)
    assert NUMBER.fullmatch(number)
    assert float(number) > 0
    if limit > 25.4:
        assert float(number) * (25.4 if inch else 1) <= limit * (1 + 1e-12)
