"""What leads beyond all bounds is refused at once: found by wild texts (`tests/fuzz/programs.py`),
which kept the proof busy without end.
"""

from __future__ import annotations

import pytest
from reading import refusal, take

from compiler.read import Dialect, read

FAR = [
    ("G0 X99999999999", "`X` leads"),
    ("G0 X" + "9" * 240, "`X` leads"),
    ("G1 Z-1000000", "`Z` leads"),
    ("G2 X10 R" + "9" * 60, "radius"),
    ("G2 X0 Y0 I" + "9" * 200, "radius"),
    ("G3 X0 Y0 I-90000", "m long"),
    ("G81 X1 Z-1 R1 L99999999", "`L` makes"),
    ("G83 X1 Z-1 R1 Q0.0000001", "`Q` makes"),
    ("G4 P3600.1", "stays for 3600 s, 3600 s are"),
    ("G4 P" + "9" * 200, "stays for 1e+200 s"),
    ("G82 X1 Z-1 R1 P20 L200", "stays for 4000 s"),
]


@pytest.mark.parametrize(("block", "reason"), FAR, ids=[row[0][:24] for row in FAR])
def test_beyond_all_bounds(block: str, reason: str) -> None:
    assert reason in refusal(block)


def test_steps_that_add_up_to_too_far_are_refused_too() -> None:
    far = take("G91 G0 X60000", "X60000").findings[0]
    assert "`X` leads" in far.message
    assert dict(far.data)["line"] == 2.0


def test_what_a_large_machine_does_is_read() -> None:
    assert take("G0 X20000 Y4000").value is not None
    # an arc of 10 km radius
    assert take("G2 X10 R10000000").value is not None
    assert take("G81 X1 Z-1 R1 L1000").value is not None
    assert take("G4 P3600").value is not None


def test_a_stay_too_long_says_what_to_do() -> None:
    found = take("G4 P5000").findings[0]
    assert "stays for 5000 s, 3600 s are the most that is read" in found.message
    assert "longer than 3600 s stop the program by M0" in found.help
    # where the control counts thousandths, 5000 is a short one
    style = Dialect(dwell="p_milliseconds")
    assert read("G21\nG4 P5000\nM2\n", dialect=style).value is not None
