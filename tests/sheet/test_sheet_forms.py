"""`build --sheet`: which sheets are written, and that what is up to date knows the difference."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("forms")


def names(folder: Path) -> set[str]:
    return {path.name.partition(".setup.")[2] for path in folder.glob("*.setup.*")}


def test_forms_follow_the_wish(standproud, specs, folder):
    spec = specs / "finder-bracket.yaml"
    ran = standproud("build", spec, "--out", folder, "--sheet", "both", "--jobs", "1")
    assert ran.status == 0, ran.err
    assert names(folder) == {"pdf", "md"}
    listed = json.loads((folder / "finder-bracket.report.json").read_text())["outputs"]
    assert {"finder-bracket.setup.pdf", "finder-bracket.setup.md"} <= set(listed)
    again = standproud("build", spec, "--out", folder, "--sheet", "both", "--jobs", "1")
    assert "up to date" in again.out
    only = standproud("build", spec, "--out", folder, "--sheet", "md", "--jobs", "1")
    assert only.status == 0, only.err
    assert "up to date" not in only.out
    assert names(folder) == {"md"}
    text = (folder / "finder-bracket.setup.md").read_text()
    assert text.startswith("# Finder bracket\n")
    assert "| Starts at line |" in text


def test_the_sheets_numbers_are_the_plans_and_the_programs(standproud, specs, folder):
    """Read back from the PDF: every rpm, feed, height and first line that plan and program say."""
    spec = specs / "finder-bracket.yaml"
    ran = standproud("build", spec, "--out", folder, "--commit", "0123abcd", "--jobs", "1")
    assert ran.status == 0, ran.err
    pages = PdfReader(io.BytesIO((folder / "finder-bracket.setup.pdf").read_bytes())).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert all("commit 0123abcd" in page.extract_text() for page in pages)
    plan = json.loads((folder / "finder-bracket.plan.json").read_text())
    report = json.loads((folder / "finder-bracket.report.json").read_text())
    program = (folder / "finder-bracket.nc").read_text().split("\n")
    for operation, facts in zip(plan["operations"], report["operations"], strict=True):
        bottom = min(level["bottom_mm"] for level in operation["levels"]) / 25.4
        for said in (
            operation["id"],
            f"{operation['cutting']['rpm']:.0f}",
            f"{bottom:.4f}",
            f"Starts at line {facts['first_line']}",
        ):
            assert said in text
        assert facts["operation"] in program[facts["first_line"] - 1]
    assert report["program_digest"][:16] in text
    assert f"{report['blocks']} blocks" in text


def test_a_commit_is_an_id(standproud, specs):
    ran = standproud("build", specs / "finder-bracket.yaml", "--commit", "not an id")
    assert ran.status == 2
    assert "hexadecimal" in ran.err
