"""Every option that a shop may set for its control, on every example job: read back and proven.

A job is planned once; then its motions are written in each way and the text judged whole, as
`build` judges it. With the suite each job runs through a fifth of the options, every option over
several jobs; `EVERY_OPTION=1 python -m pytest tests/write/test_every_option.py` runs all on all.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest
from conftest import ROOT, example
from rewritten import rewritten

from compiler.job import ProgramStyle
from compiler.read import Dialect, read
from compiler.road import Journey

JOBS = sorted(p for p in (ROOT / "specs").glob("*.yaml") if p.name != "shop.yaml")
OPTIONS: dict[str, dict[str, Any]] = {
    "rs274ngc": {},
    "iso6983": {"standard": "iso6983"},
    "numbered": {"line_numbers": True, "program_number": 7},
    "iso numbered": {"standard": "iso6983", "line_numbers": True, "program_number": 7},
    "arcs by radius": {"arcs": "radius"},
    "semicolons": {"comments": "semicolon"},
    "no comments": {"comments": "none"},
    "finer": {"decimals": 5},
    "short lines": {"max_line_length": 60, "line_numbers": True},
    "no length offset": {"length_offset": False},
    "helices as lines": {"helices": "lines"},
    "canned": {"cycles": "canned"},
    "iso canned": {"standard": "iso6983", "cycles": "canned", "dwell": "p_milliseconds"},
    "dwell by X": {"standard": "iso6983", "cycles": "canned", "dwell": "x_seconds"},
    "the shop's own": {
        "opening": ("G0 G53 Z0", "M9"),
        "closing": ("G0 G53 Z0", "G0 G53 X0 Y0"),
        "arcs": "radius",
        "helices": "lines",
        "decimals": 4,
    },
}


ALL = os.environ.get("EVERY_OPTION", "") == "1"
SHARES = 5


@pytest.fixture(scope="module", params=JOBS, ids=[p.stem for p in JOBS])
def journey(request: pytest.FixtureRequest) -> Journey:
    path: Path = request.param
    if "tool: auto" in path.read_text(encoding="utf-8") and not ALL:
        pytest.skip("choosing cutters takes long, and is tried with EVERY_OPTION=1")
    if "model:" in path.read_text(encoding="utf-8"):
        pytest.importorskip("OCP", reason="STEP models need the solid extra")
    made = example(path.stem)
    assert made.report is not None and made.report.held, [f.message for f in made.findings]
    return made


@pytest.mark.parametrize("option", OPTIONS)
def test_an_option_is_read_back_and_proven(journey: Journey, option: str) -> None:
    assert journey.job and journey.report
    turn = [path.stem for path in JOBS].index(Path(journey.job.spec_file).stem)
    if not ALL and (list(OPTIONS).index(option) + turn) % SHARES:
        pytest.skip("its turn comes with another job")
    # a plain style, whatever the example's own machine says
    written, judged = rewritten(journey, ProgramStyle(**OPTIONS[option]))
    assert [o.what for o in judged.report.obligations if not o.held] == []
    check_form(written.text, OPTIONS[option])
    assert judged.report.removed_mm3 == pytest.approx(journey.report.removed_mm3, rel=2e-4)


def check_form(text: str, option: dict[str, Any]) -> None:
    """What can be seen of the option in the text itself."""
    lines = text.splitlines()
    assert text.isascii() and text.endswith("\n")
    assert max(map(len, lines)) <= option.get("max_line_length", 80)
    bare = re.sub(r"\([^)]*\)|;.*", "", text)
    assert ("(" in text) == (option.get("comments", "parentheses") == "parentheses")
    assert (";" in text) == (option.get("comments") == "semicolon")
    assert ("R" in re.sub(r"G8[1-3].*|G98.*", "", bare)) <= (option.get("arcs") == "radius")
    assert ("I" in bare) == (option.get("arcs") != "radius")
    is_iso = option.get("standard") == "iso6983"
    assert (lines[0] == lines[-1] == "%") == is_iso
    assert ("O0007" in lines) == (is_iso and "program_number" in option)
    if option.get("cycles") != "canned":
        assert not re.search(r"G(73|8[1-9])", bare)
    if option.get("helices") == "lines":
        dialect = Dialect(dwell=option.get("dwell", "p_seconds"))
        program = read(text, dialect=dialect).value
        if program is not None:
            assert all(m.start.z == m.end.z for m in program.motions if m.kind == "arc")
