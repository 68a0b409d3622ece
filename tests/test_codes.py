"""The table of codes: whole, explained, and each provoked by some test."""

import re
from pathlib import Path

from conftest import ROOT

from compiler.diagnostics.codes import CODES


def used_in(folder: Path) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for file in sorted(folder.rglob("*")):
        if file.suffix not in (".py", ".yaml", ".nc", ".txt") or "codes" in file.parts:
            continue
        text = file.read_text(encoding="utf-8", errors="replace")
        for code in re.findall(r"\b[EW]\d{3}\b", text + " " + file.name.replace("-", " ")):
            found.setdefault(code, set()).add(file.name)
    return found


def test_every_code_is_explained() -> None:
    for code, info in CODES.items():
        assert re.fullmatch(r"[EW]\d{3}", code)
        assert info.title and len(info.story) > 40, code


def test_every_code_in_the_package_is_in_the_table() -> None:
    used = used_in(ROOT / "compiler")
    assert set(used) <= set(CODES), set(used) - set(CODES)


def test_no_code_in_the_table_is_idle() -> None:
    assert set(CODES) <= set(used_in(ROOT / "compiler"))


def test_every_code_is_provoked_by_a_test() -> None:
    missing = set(CODES) - set(used_in(ROOT / "tests"))
    assert not missing, sorted(missing)
