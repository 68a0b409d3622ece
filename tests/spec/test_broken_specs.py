"""Every broken spec gives its one finding, at its place, with a remedy.

Each file says in its first line what is expected: `# expect: E103 at 5:1`. Files without such a
line (empty, binary) are told by their names. Those whose fault is one of the part or of the plan go
the road further.
"""

import re
from pathlib import Path

import pytest

from compiler.diagnostics import Diagnostic
from compiler.spec.load import load_job

FOLDER = Path(__file__).parent / "broken"
FILES = sorted(FOLDER.glob("*.yaml"))
EXPECT = re.compile(rb"# expect: ([EW][0-9]{3}) at ([0-9]+):([0-9]+)")
# words of the validation library, which mean nothing to an author
FOREIGN = (
    "pydantic",
    "input should",
    "valid dictionary",
    "instance of",
    "tuple",
    "dict",
    "nonetype",
)
LATER = re.compile(r"E31[0-7]|E36|E4")


def expected(file: Path) -> tuple[str, int, int]:
    found = EXPECT.match(file.read_bytes())
    if found is None:
        return file.name[:4], 1, 1
    return found[1].decode(), int(found[2]), int(found[3])


def findings(file: Path) -> tuple[Diagnostic, ...]:
    if LATER.match(file.name):
        from compiler.road import plan_job

        return plan_job(file, FOLDER).findings
    return load_job(file, FOLDER).findings


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_broken_spec(file: Path) -> None:
    code, line, column = expected(file)
    assert file.name.startswith(code), "the file's name begins with its code"
    found = findings(file)
    places = [(f.code, f.primary.span.line, f.primary.span.column) for f in found if f.primary]
    assert places == [(code, line, column)], [f"{f.code} {f.message}" for f in found]
    assert found[0].primary is not None
    assert found[0].primary.span.file == file.name
    assert_well_told(found[0])


def assert_well_told(found: Diagnostic) -> None:
    """A finding as the house wants it: one fact in small letters, and what to do."""
    assert found.help, "every finding says what to do"
    assert not found.message.endswith("."), found.message
    assert found.message[0] in "`" or not found.message.split()[0].istitle(), found.message
    for word in FOREIGN:
        assert word not in f"{found.message} ".lower(), found.message


def test_there_are_enough() -> None:
    assert len(FILES) >= 60
