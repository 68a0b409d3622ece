"""`explain` and the stories behind the codes of files."""

from compiler.diagnostics.codes import CODES
from compiler.diagnostics.explain import explain, unknown


def test_a_story_is_told_whole() -> None:
    told = explain("e605")
    assert told is not None
    assert told.startswith("E605: an output can't be written\n\n")
    assert CODES["E605"].story in told


def test_unknown_codes_are_named_and_the_near_one_offered() -> None:
    assert explain("E999") is None
    found = unknown("E6O1")
    assert found.code == "E606" and "`E6O1`" in found.message
    assert "did you mean `E6" in found.help


def test_no_weak_suggestion() -> None:
    assert "did you mean" not in unknown("gouge").help


def test_codes_say_what_they_weigh() -> None:
    for code, info in CODES.items():
        assert code[0] in "EW" and code[1:].isdigit() and len(code) == 4
        assert info.title[0].islower() or not info.title[0].isalpha(), code
        assert not info.title.endswith("."), code
        assert info.story.endswith("."), code
