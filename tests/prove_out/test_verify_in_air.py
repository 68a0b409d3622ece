"""`verify --in-air`: a raised program is proven to cut air, whoever raised it."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from test_prove_out import job

from compiler.commands.main import main
from compiler.judge.air import Air
from compiler.prove_out.given import text_in_air
from compiler.road import prove_job

# the drill's full diameter goes to 8 mm; its point is deeper (118 degrees: common practice, no
# source)
LOWEST = 8 + 2 / math.tan(math.radians(59))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the job, its program and the raised one."""
    folder = tmp_path_factory.mktemp("air")
    assert main(["build", str(job(folder)), "--prove-out"]) == 0
    return folder


def test_the_one_that_was_built_cuts_air(standproud, made: Path) -> None:
    ran = standproud(
        "verify", made / "out" / "pier-plate.prove-out.nc", "--job", made / "pier-plate.yaml",
        "--in-air", "--format", "json",
    )  # fmt: skip
    said = json.loads(ran.out[ran.out.index('{\n  "version": "verify-in-air/1"') :])
    assert ran.status == 0 and said["proven"] and said["room_mm"] >= 0
    assert all(entry["held"] for entry in said["obligations"])


def test_the_real_one_does_not(standproud, made: Path) -> None:
    spec, text = made / "pier-plate.yaml", made / "out" / "pier-plate.nc"
    ran = standproud("verify", text, "--job", spec, "--in-air")
    assert (
        ran.status == 1 and "E561" in ran.err and f"raise it by {LOWEST:.3f} mm or more" in ran.err
    )
    assert "falls short" in ran.out


def test_one_word_too_low_is_found_at_its_line(standproud, made: Path) -> None:
    lines = (made / "out" / "pier-plate.prove-out.nc").read_text().split("\n")
    at = next(k for k, line in enumerate(lines) if line.startswith("G1 Z"))
    lines[at] = re.sub(r"Z[\d.]+", "Z-0.5", lines[at])
    (made / "edited.nc").write_text("\n".join(lines))
    ran = standproud("verify", made / "edited.nc", "--job", made / "pier-plate.yaml", "--in-air")
    assert ran.status == 1 and "E561" in ran.err and f"edited.nc:{at + 1}:1" in ran.err


def test_judged_as_a_cut_the_text_says_what_it_is(standproud, made: Path) -> None:
    spec, text = made / "pier-plate.yaml", made / "out" / "pier-plate.prove-out.nc"
    ran = standproud("verify", text, "--job", spec)
    assert ran.status == 1 and "--in-air" in ran.out


def test_raised_by_hand_by_any_height(made: Path) -> None:
    """Every Z of the real program 20 mm higher, as an operator would shift it."""
    road = prove_job(made / "pier-plate.yaml", made)
    assert road.job and road.part and road.plan and road.motions
    up = re.sub(
        r"\b([ZR])(-?[\d.]+)",
        lambda found: f"{found[1]}{float(found[2]) + 20:.4f}",
        re.sub(r"\([^)]*\)", "", (made / "out" / "pier-plate.nc").read_text()),
    )
    found = text_in_air(up, job=road.job, part=road.part, plan=road.plan, motions=road.motions)
    assert isinstance(found.value, Air) and found.value.room == pytest.approx(20 - LOWEST, abs=1e-3)
    assert all(e.held for e in found.value.obligations if e.name != "text_true")
