"""ISO 2768-1:1989, table 1, from secondary tables; see the module for where they disagree."""

import pytest

from compiler.knowledge.tolerance import general_tolerance


@pytest.mark.parametrize(
    ("kind", "nominal", "off"),
    [
        ("m", 45, 0.3),  # the common worked value: 45 mm medium is 44.7 to 45.3
        ("f", 3, 0.05),
        ("f", 3.001, 0.05),
        ("m", 6, 0.1),
        ("m", 6.001, 0.2),
        ("m", 30, 0.2),
        ("m", 30.001, 0.3),
        ("c", 120, 0.8),
        ("c", 120.001, 1.2),
        ("v", 400, 2.5),
        ("v", 1500, 6.0),
        ("m", 4000, 2.0),
        ("m", -45, 0.3),  # a size has no sign
    ],
)
def test_limits_of_the_table(kind, nominal, off):
    assert general_tolerance(kind, nominal) == off


@pytest.mark.parametrize(("kind", "nominal"), [("m", 0.4), ("v", 2), ("f", 2001), ("m", 4001)])
def test_what_the_table_leaves_out_has_no_tolerance(kind, nominal):
    assert general_tolerance(kind, nominal) is None


@pytest.mark.parametrize("nominal", [0.5, 3, 4, 6, 7, 30, 100, 300, 900, 1900])
def test_a_coarser_class_allows_at_least_as_much(nominal):
    found = [general_tolerance(kind, nominal) for kind in ("f", "m", "c", "v")]
    given = [value for value in found if value is not None]
    assert given == sorted(given)
