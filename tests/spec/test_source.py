"""Text to located tree: YAML 1.2 scalars, places, and what is refused."""

import time

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from compiler.spec import source
from compiler.spec.source import read
from compiler.spec.tree import Table, key_span, path_text, plain, value_span, walk


def values(text: str) -> object:
    found = read(text.encode(), "a.yaml")
    assert found.value is not None, found.findings
    return plain(found.value)


def test_core_schema_of_yaml_1_2() -> None:
    # YAML 1.2.2, example 10.9 "Core Tag Resolution", without its infinities
    text = """
A null: null
Booleans: [ true, True, false, FALSE ]
Integers: [ 0, 0o7, 0x3A, -19 ]
Floats: [ 0., -0.0, .5, +12e03, -2E+05 ]
"""
    assert values(text) == {
        "A null": None,
        "Booleans": [True, True, False, False],
        "Integers": [0, 7, 0x3A, -19],
        "Floats": [0.0, 0.0, 0.5, 12000.0, -200000.0],
    }


@pytest.mark.parametrize(
    "word", ["on", "off", "yes", "no", "y", "n", "1:30", "1_000", "2026-11-25"]
)
def test_what_only_yaml_1_1_resolves_is_text(word: str) -> None:
    assert values(f"{word}: {word}") == {word: word}


def test_leading_zero_is_not_octal() -> None:
    assert values("a: 010") == {"a": 10}


def test_quotes_make_text() -> None:
    assert values("a: '1'\nb: \"true\"\nc: ''") == {"a": "1", "b": "true", "c": ""}


def test_keys_are_text_whatever_they_look_like() -> None:
    assert values("1: a\ntrue: b\n~: c") == {"1": "a", "true": "b", "~": "c"}


@pytest.mark.parametrize("loader", ["fast", "pure"])
def test_places(loader: str, monkeypatch: pytest.MonkeyPatch) -> None:
    if loader == "pure":
        monkeypatch.setattr(source, "_Loader", yaml.SafeLoader)
    text = 'a:\n  é: {b: 1, c: "d"}\n  f:\n   - 1\n   - g\n\n\nh: 1\n'
    found = read(text.encode(), "x")
    assert found.value is not None
    spans = {
        path_text(path): (n.span.line, n.span.column, n.span.end_line, n.span.end_column)
        for path, n in walk(found.value)
    }
    assert spans["a.é"] == (2, 6, 2, 20)
    assert spans["a.é.c"] == (2, 16, 2, 19)
    assert spans["a.f"] == (4, 4, 5, 7), "a block ends with its last value"
    assert spans["h"] == (8, 4, 8, 5)
    assert str(key_span(found.value, ("a", "f"))) == "x:3:3"
    assert str(value_span(found.value, ("a", "f", 9))) == "x:3:3", "the nearest thing above"


def test_aliases_share_what_they_repeat() -> None:
    assert values("a: &x [1, 2]\nb: *x") == {"a": [1, 2], "b": [1, 2]}


@pytest.mark.parametrize("levels", [100, 1000])
def test_alias_bombs_end_quickly(levels: int) -> None:
    lines = ["l0: &l0 [x, x]"]
    lines += [f"l{i}: &l{i} [{', '.join([f'*l{i - 1}'] * 10)}]" for i in range(1, levels)]
    start = time.perf_counter()
    found = read("\n".join(lines).encode(), "x")
    assert time.perf_counter() - start < 0.5
    assert [f.code for f in found.findings] == ["E009"]


@pytest.mark.parametrize("text", ["[" * 100_000, "{a: " * 100_000, "- " * 50_000, "? " * 50_000])
def test_depth_is_bounded(text: str) -> None:
    found = read(text.encode(), "x")
    assert found.value is None
    assert found.findings[-1].code in ("E004", "E011")


def test_size_is_bounded() -> None:
    assert [f.code for f in read(b"a: b\n" * 300_000, "x").findings] == ["E010"]


def test_a_mark_at_the_start_is_skipped() -> None:
    assert values("\ufeffa: 1") == {"a": 1}


def test_all_findings_of_a_text_together() -> None:
    found = read(b"a: 1\na: !x 2\n<<: {}\nb: .nan\n", "x")
    assert [f.code for f in found.findings] == ["E007", "E006", "E008", "E013"]
    (again,) = (f for f in found.findings if f.code == "E006")
    assert again.secondary[0].text == "first defined here"
    assert str(again.secondary[0].span) == "x:1:1"


@given(data=st.binary(max_size=200))
def test_any_bytes_give_a_tree_or_findings(data: bytes) -> None:
    found = read(data, "x")
    assert (found.value is None) <= bool(found.findings)
    assert found.value is None or isinstance(found.value, Table)


SIGNS = (
    *("a", ":", " ", "\n", "- ", "? ", "[", "]", "{", "}", ",", "&x ", "*x", "!t ", "|", ">", '"'),
    *("'", "#", "\t", "---\n", "...", "%YAML", "<<", "\\x00", "1", ".nan", "é", "\r"),
)
YAML_BITS = st.lists(st.sampled_from(SIGNS), max_size=40).map("".join)


@given(text=YAML_BITS)
def test_any_text_of_yaml_signs_gives_a_tree_or_findings(text: str) -> None:
    found = read(text.encode(), "x")
    assert (found.value is None) <= bool(found.findings)


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [  # what YAML 1.2 (sec. 7.4, 8.2) misses only lines later
        ("spec: job/1\nmaterial aluminium\n\nstock: 1\n", 2, "line 2 has no `:` followed by a sp"),
        ("spec: job/1\nname:plate\ntitle: Plate\n", 2, "line 2 has no `:` followed by a space"),
        ("spec: job/1\ntitle: 'Plate\nunits: mm\n", 2, "the quote opened at line 2 is not closed"),
        (
            'spec: job/1\ntitle: "Plate\na: [1]\nb: {c: ["0", 1]}\n',
            2,
            "the quote opened at line 2 is not closed",
        ),
        ("a: {b: 1\nc: {d: 2}\n", 1, "the `{` opened at line 1 is not closed"),
        ("a: 5/8\"\nb: don't\nc: it's # \"so\n  d: [1\n", 4, ""),
    ],
)
def test_a_slip_is_told_where_it_was_made(text: str, line: int, said: str) -> None:
    (found,) = read(text.encode(), "a.yaml").findings
    assert found.code == "E004" and found.primary is not None
    assert found.message.startswith(said)
    assert not said or found.primary.span.line == line, found
