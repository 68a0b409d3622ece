"""Findings as workflow commands. The escapes are those of the command syntax, from memory."""

from findings import label

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.diagnostics.render import RENDERERS
from compiler.diagnostics.render.annotations import render


def test_a_finding_is_one_command() -> None:
    found = Diagnostic(
        code="E999",
        message="there is no tool `T3`",
        primary=label(6, 19, 21),
        notes=("a note",),
        help="take `T1`",
    )
    assert render((found,), {}) == (
        "::error file=specs/bracket.yaml,line=6,endLine=6,col=19,endColumn=20,title=E999"
        "::there is no tool `T3`%0Aa note%0Atake `T1`\n"
    )


def test_title_comes_from_the_table() -> None:
    found = Diagnostic(code="E601", message="there is no file `x`")
    assert render((found,), {}) == "::error title=E601 a file is missing::there is no file `x`\n"


def test_severities() -> None:
    for severity, command in (("error", "error"), ("warning", "warning"), ("note", "notice")):
        found = Diagnostic(code="E999", message="odd", severity=Severity(severity))
        assert render((found,), {}).startswith(f"::{command} ")


def test_no_columns_over_several_lines() -> None:
    place = Label(Span("a.yaml", 2, 5, 4, 3))
    text = render((Diagnostic(code="E999", message="odd", primary=place),), {})
    assert text == "::error file=a.yaml,line=2,endLine=4,title=E999::odd\n"


def test_author_text_cannot_begin_a_command() -> None:
    place = Label(Span("a,b:c%.yaml", 1, 1, 1, 1))
    found = Diagnostic(
        code="E999", message="100%\r\n::set-output name=x::y\r::error::z", primary=place
    )
    text = render((found,), {})
    assert text.count("\n") == 1 and text.endswith("\n") and "\r" not in text
    assert "file=a%2Cb%3Ac%25.yaml,line=1,endLine=1,col=1,endColumn=1" in text
    assert "::100%25%0A::set-output" in text


def test_many_of_one_code() -> None:
    text = render((Diagnostic(code="E999", message="odd"),) * 22, {})
    assert text.count("::error") == 20
    assert text.endswith("::notice title=E999::and 2 more of E999\n")


def test_every_format_has_its_renderer() -> None:
    assert set(RENDERERS) == {"text", "json", "github"}
    for renderer in RENDERERS.values():
        assert "odd" in renderer((Diagnostic(code="E999", message="odd"),), {}, colour=False)
