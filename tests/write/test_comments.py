"""Author's text in a program: it stays a comment, whatever it holds.

NISTIR 6556 sec. 3.3.4: comments do not nest and close on their line; sec. 3.3: 256 characters.
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_job import job, motions, path, plan

from compiler.job import Title
from compiler.motion import Point3, Rapid
from compiler.write import write
from compiler.write.comments import comment, plain

HOSTILE = [
    "boss) G0 Z-50 (",
    "boss)\nG0 Z-50",
    "boss\r\nG1 Z-50 F9999",
    "boss\x0bG0 Z-50\x0cM30\x1c\x1d\x1e\x85\u2028\u2029G0 Z-99",
    "((((nested",
    "))))",
    "%\n%",
    "MSG, go away",
    "\x00\x1b[2J",
    "\u202egnirts\u202c",
    "; G0 Z-50",
    "/G0 Z-50",
    "#1=5 [1/0]",
    "N10 G91 G28 Z0",
    "x" * 5000,
    "（Ｇ０）",
]


def program(text: str, **style: object) -> str:
    title = Title(name="job", title=text, number=text, revision=text, notes=(text,))
    moves = path(Rapid(Point3(0, 0, 5)))
    return write(job=job(title=title, **style), plan=plan(), motions=motions(moves)).text


def blocks(text: str) -> list[str]:
    """What a control would act on: all that stands outside comments."""
    rows = (re.sub(r"\([^()]*\)", "", row.split(";")[0]).strip() for row in text.split("\n"))
    return [row for row in rows if row]


@pytest.mark.parametrize("style", ["parentheses", "semicolon", "none"])
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_changes_no_block(text, style):
    out = program(text, comments=style)
    assert blocks(out) == blocks(program("", comments=style))
    assert out.isascii()
    assert all(len(row) <= 80 for row in out.split("\n"))
    assert not re.search(r"[^\x20-\x7e\n]", out)


@given(st.text(max_size=300))
def test_any_text_is_one_closed_comment(text):
    for room in (20, 80):
        made = comment(f"title: {text}", "parentheses", room)
        assert len(made) <= room
        assert re.fullmatch(r"\([A-Za-z0-9 .,+\-=:_*'?]*\)", made)


def test_no_comments_when_the_style_has_none():
    assert "(" not in program("Bracket", comments="none")
    assert ";" not in program("Bracket", comments="none")


def test_other_alphabets_can_still_be_recognised():
    assert plain("Öse für Ø6 – ½ Straße") == "Ose fur dia 6 - 1-2 Strasse"
    assert plain("Βραχίονας προσοφθαλμίου") == "Vrachionas prosofthalmioy"
    assert plain("Кронштейн") == "Kronshtein"
    assert plain("星") == "?"
