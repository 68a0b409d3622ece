"""`verify`: a program's text against a job, edited by hand or made elsewhere."""

import json
import re
from pathlib import Path

import pytest
from test_command_line import job


@pytest.fixture
def made(standproud, tmp_path: Path) -> tuple[Path, Path]:
    """A job and the program that is planned for it."""
    spec = job(tmp_path)
    program = tmp_path / "pier-plate.nc"
    program.write_text(standproud("plan", spec, "--stop-after", "program").out)
    return spec, program


def edit(program: Path, old: str, new: str) -> None:
    text = program.read_text()
    assert re.search(old, text), old
    program.write_text(re.sub(old, new, text, count=1))


def test_the_planned_text_is_proven(standproud, made) -> None:
    spec, program = made
    ran = standproud("verify", program, "--job", spec)
    assert (ran.status, ran.err) == (0, "")
    assert "text_true        held" in ran.out
    assert ran.out.endswith(f"proven against {spec.as_posix()}\n")


def test_a_harmless_edit_is_a_warning_and_still_proven(standproud, made) -> None:
    spec, program = made
    edit(program, r"\bF(\d+)(?=\.|\b)", "F90")  # the first feed: down in air, slower
    ran = standproud("verify", program, "--job", spec)
    assert ran.status == 0, ran.err
    assert "warning W520" in ran.err and "text_true        differs" in ran.out
    strict = standproud("verify", program, "--job", spec, "--as-planned")
    assert strict.status == 1 and "error E520" in strict.err


def test_without_comments_and_line_ends_of_another_kind(standproud, made) -> None:
    spec, program = made
    bare = re.sub(r"\([^)]*\)", "", program.read_text())
    program.write_bytes(bare.replace("\n", "\r\n").encode())
    ran = standproud("verify", program, "--job", spec, "--format", "json")
    assert ran.status == 0, ran.err
    data = json.loads(ran.out)
    assert data["version"] == "verify/1" and data["proven"] and data["as_planned"]
    assert len(data["report"]["obligations"]) == 11


def test_harm_is_found_with_both_lines(standproud, made) -> None:
    spec, program = made
    edit(program, r"Z-3\.", "Z-4.")
    ran = standproud("verify", program, "--job", spec)
    assert ran.status == 1
    assert "error E511" in ran.err and "floor_kept       BROKEN" in ran.out
    assert f"{program.name}:" in ran.err and "this block" in ran.err
    assert "pier-plate.yaml:" in ran.err and "falls short" in ran.out


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("G41 D1", "G41"),
        ("G92 X0", "G92"),
        ("G10 L2 P1 X1", "G10"),
        ("#1=3", "#"),
        ("M98 P100", "M98"),
        ("G68 X0 Y0", "G68"),
        ("O100", "O"),
        ("G84 Z-1 R1", "G84"),
    ],
)
def test_foreign_words_are_refused_by_name(standproud, made, word: str, said: str) -> None:
    spec, program = made
    edit(program, r"\nT1", f"\n{word}\nT1")
    ran = standproud("verify", program, "--job", spec)
    assert ran.status == 1
    assert "error E501" in ran.err and f"`{said}" in ran.err.replace(f"{said} ", f"`{said} ")
    assert "refused, so nothing is judged" in ran.out


def test_what_can_not_be_read_ends_with_2(standproud, made, tmp_path: Path) -> None:
    spec, program = made
    gone = standproud("verify", tmp_path / "gone.nc", "--job", spec)
    assert gone.status == 2 and "E601" in gone.err
    folder = standproud("verify", tmp_path, "--job", spec)
    assert folder.status == 2 and "E603" in folder.err
    program.write_bytes(b"G21\n\xff\xfe\n")
    ran = standproud("verify", program, "--job", spec)
    assert ran.status == 2 and "E002" in ran.err and "line 2" in ran.err
    no_job = standproud("verify", program, "--job", tmp_path / "gone.yaml")
    assert no_job.status == 2 and "E601" in no_job.err


def test_a_changed_feed_is_named_as_such(standproud, made) -> None:
    spec, program = made
    edit(program, r"\bF(\d+)(?=\.|\b)", "F90")
    ran = standproud("verify", program, "--job", spec)
    assert re.search(r"W520: line \d+ is fed at 90\.\d mm/min; planned are \d+\.\d mm/min", ran.err)
