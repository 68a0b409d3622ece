"""Outputs are replaced whole or not at all, and nobody else's file is written over."""

import json
import os
from pathlib import Path

import pytest

from compiler.commands.digests import digest
from compiler.commands.outputs import write_outputs


def build(program: bytes, *, extra: dict[str, bytes] | None = None) -> dict[str, bytes]:
    files = {"part.nc": program, **(extra or {})}
    outputs = {name: digest(content) for name, content in files.items()}
    files["part.report.json"] = json.dumps({"job": "part", "outputs": outputs}).encode()
    return files


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_first_build_makes_the_folder(tmp_path: Path) -> None:
    files = build(b"G21")
    assert write_outputs(tmp_path / "new" / "out", files, job="part") == ()
    assert contents(tmp_path / "new" / "out") == files


def test_later_build_replaces_earlier_outputs_and_drops_stale_ones(tmp_path: Path) -> None:
    write_outputs(tmp_path, build(b"one", extra={"part.rough.svg": b"<svg/>"}), job="part")
    later = build(b"two")
    assert write_outputs(tmp_path, later, job="part") == ()
    assert contents(tmp_path) == later


def test_a_program_edited_at_the_control_is_not_written_over(tmp_path: Path) -> None:
    write_outputs(tmp_path, build(b"one"), job="part")
    (tmp_path / "part.nc").write_bytes(b"one, slower in the corner")
    before = contents(tmp_path)
    (found,) = write_outputs(tmp_path, build(b"two"), job="part")
    assert found.code == "E604" and "part.nc" in found.message and "--out" in found.help
    assert contents(tmp_path) == before
    assert write_outputs(tmp_path, build(b"two"), job="part", replace_edited=True) == ()
    assert (tmp_path / "part.nc").read_bytes() == b"two"


def test_a_strangers_file_of_the_same_name_stays(tmp_path: Path) -> None:
    (tmp_path / "part.nc").write_bytes(b"somebody's")
    (found,) = write_outputs(tmp_path, build(b"two"), job="part")
    assert found.code == "E604"
    assert contents(tmp_path) == {"part.nc": b"somebody's"}


def test_another_jobs_report_stays(tmp_path: Path) -> None:
    (tmp_path / "part.report.json").write_text('{"job": "other", "outputs": {}}')
    (found,) = write_outputs(tmp_path, build(b"two"), job="part")
    assert found.code == "E604"


def test_a_build_that_was_cut_short_can_be_finished(tmp_path: Path) -> None:
    """Killed between two renames: the program is the new one, the report still the old."""
    write_outputs(tmp_path, build(b"one"), job="part")
    later = build(b"two")
    (tmp_path / "part.nc").write_bytes(later["part.nc"])
    (tmp_path / ".part.nc.partial").write_bytes(b"half")
    assert write_outputs(tmp_path, later, job="part") == ()
    assert contents(tmp_path) == later


def test_a_report_that_lists_paths_outside_deletes_nothing(tmp_path: Path) -> None:
    victim = tmp_path / "precious.txt"
    victim.write_bytes(b"keep me")
    out = tmp_path / "out"
    out.mkdir()
    listed = {"../precious.txt": digest(b"keep me")}
    (out / "part.report.json").write_text(json.dumps({"job": "part", "outputs": listed}))
    assert write_outputs(out, build(b"two"), job="part") == ()
    assert victim.read_bytes() == b"keep me"


@pytest.mark.skipif(os.name == "nt", reason="folder modes differ")
def test_a_fault_while_writing_leaves_the_last_good_outputs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = build(b"one")
    write_outputs(tmp_path, first, job="part")

    def full_disk(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("compiler.commands.whole.os.fsync", full_disk)
    (found,) = write_outputs(tmp_path, build(b"two"), job="part")
    assert found.code == "E605" and "No space left" in found.message
    assert contents(tmp_path) == first
