"""`tool: auto` at the command line: `plan --why`, `expand`, `check`."""

from __future__ import annotations

import contextlib
import io
import json
from pathlib import Path

from open_job import ROUGH, WALLS, job_text, write_job

from compiler.commands.main import main


def run(*words: str) -> tuple[int, str]:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        status = main(list(words))
    return status, out.getvalue()


def test_why_shows_the_runners_up_with_their_times(tmp_path: Path) -> None:
    spec = write_job(tmp_path, job_text(ROUGH, WALLS))
    status, text = run("plan", str(spec), "--why")
    assert status == 0
    table = text[text.index("cutters tried") :].splitlines()
    assert table[2].split() == ["time", "rough", "1", "finish_walls", "1"]
    assert table[3].rstrip().endswith("taken")
    assert any("takes longer" in row for row in table[4:])
    named = write_job(
        tmp_path / "named", job_text(ROUGH.replace("auto", "T1"), tools="T1: {crib: em_10}")
    )
    assert "every pass names its own" in run("plan", str(named), "--why")[1]


def test_expand_names_the_cutter_and_compiles_to_the_same(tmp_path: Path) -> None:
    spec = write_job(tmp_path, job_text(ROUGH, WALLS))
    status, text = run("expand", str(spec))
    assert status == 0 and "# chosen from the crib, " in text
    assert "tool: auto" not in text
    again = tmp_path / "again.yaml"
    again.write_text(text, encoding="utf-8")
    first, second = (json.loads(run("plan", str(s), "--format", "json")[1]) for s in (spec, again))
    assert first["digest"] == second["digest"]
    assert second["choice"] is None
    assert [o["tool"] for o in first["operations"]] == [o["tool"] for o in second["operations"]]
