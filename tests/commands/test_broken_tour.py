"""The tour of broken specs at the command: a located error, status 1, no traceback, no file."""

import re
import shutil
from pathlib import Path

import pytest

BROKEN = sorted((Path(__file__).parents[1] / "spec" / "broken").glob("E*.yaml"))
LOCATED = re.compile(r"^error (E\d{3}): .+\n +\S+:\d+:\d+", re.MULTILINE)


def test_the_tour_is_long_enough() -> None:
    assert len(BROKEN) >= 60


@pytest.mark.parametrize("file", BROKEN, ids=lambda file: file.stem)
def test_building_a_broken_spec(file: Path, tmp_path: Path, standproud) -> None:
    spec = tmp_path / file.name
    shutil.copyfile(file, spec)
    for beside in file.parent.iterdir():
        if beside.is_dir():
            shutil.copytree(beside, tmp_path / beside.name)
    before = sorted(tmp_path.rglob("*"))
    ran = standproud("build", spec)
    assert ran.status == 1, ran.err
    code = file.name.split("-")[0]
    assert code in LOCATED.findall(ran.err), ran.err
    assert "help: " in ran.err
    assert "Traceback" not in ran.err and "E901" not in ran.err
    assert ran.out == ""
    assert sorted(tmp_path.rglob("*")) == before, "nothing is written"
