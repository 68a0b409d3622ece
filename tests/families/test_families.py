"""Families: members made, limits and checks held, errors told at family and member both."""

from pathlib import Path

import pytest
from family_folder import FAMILY, MEMBER, also, loaded, rendered, told, write

from compiler.job import Job
from compiler.spec.expand import expand
from compiler.spec.load import load_job


def job(folder: Path, **how: str) -> Job:
    read = loaded(folder, **how)
    assert read.value is not None, rendered(read)
    assert read.findings == ()
    return read.value.job


def radius(made: Job) -> float:
    left, _, right, _ = made.keep_regions[0].shape.bounds
    return (right - left) / 2


def test_a_member_takes_the_defaults(tmp_path: Path) -> None:
    made = job(tmp_path)
    assert made.title.name == "ring-40"
    assert made.title.title == "Finder ring"  # the family's, where the member says none
    assert radius(made) == pytest.approx(25)
    assert made.passes[0].to == pytest.approx(-3)
    assert made.spec_file == "ring-40.yaml"


@pytest.mark.parametrize("said", ["1-1/4 in", "31.75", "31.75 mm", "1.25 in", "3.175 cm"])
def test_a_member_sets_parameters_in_any_unit(tmp_path: Path, said: str) -> None:
    made = job(tmp_path, more=f"with: {{tube: {said}, deep: deep}}\n")
    assert radius(made) == pytest.approx(31.75 * 5 / 8)
    assert made.passes[0].to == pytest.approx(-6)


def test_a_row_of_the_table_is_a_member(tmp_path: Path) -> None:
    made = job(tmp_path, name="ring-50")
    assert made.title.name == "ring-50" and made.title.title == "Finder ring of 50"
    assert radius(made) == pytest.approx(31.25)
    assert made.passes[0].to == pytest.approx(-6)


def test_a_table_in_csv_says_the_same(tmp_path: Path) -> None:
    rows = 'name,tube,deep,title\nring-32,32 mm,,\n"ring-50",50,deep,"Finder ring of 50"\n'
    (tmp_path / "families").mkdir()
    (tmp_path / "families" / "rings.csv").write_bytes(rows.replace("\n", "\r\n").encode())
    start, end = FAMILY.index("members:"), FAMILY.index("job:")
    family = FAMILY[:start] + "members: rings.csv\n" + FAMILY[end:]
    for name in ("ring-32", "ring-50"):
        assert job(tmp_path, family=family, name=name).digest == job(tmp_path, name=name).digest


def test_a_member_written_by_hand_has_the_same_digest(tmp_path: Path) -> None:
    """Outside check of the whole expansion: the job written out by hand, value for value."""
    made = job(tmp_path, more="with: {tube: 48 mm}\n")
    body = "\n".join(line[2:] for line in FAMILY[FAMILY.index("  units:") :].splitlines())
    body = body.replace('"${ tube / 2 + wall }"', "30").replace("small_", "small_")
    body = body.replace("\"${ -6 mm if deep == 'deep' else -3 mm }\"", "-3")
    head = "spec: job/1\nname: ring-40\ntitle: Finder ring\n"
    by_hand = write(tmp_path, family=FAMILY, member="").with_name("by-hand.yaml")
    from family_folder import machine

    by_hand.write_text(head + body.replace("small_machining_centre", machine()), encoding="utf-8")
    read = load_job(by_hand, tmp_path)
    assert read.value is not None, rendered(read)
    assert read.value.job.digest == made.digest


def test_expand_says_what_set_each_value(tmp_path: Path) -> None:
    read = loaded(tmp_path, more="with: {tube: 30 mm}\noverride: {stock: {thickness: 12}}\n")
    assert read.value is not None
    text = expand(read.value)
    assert "radius: 18.75 mm  # families/ring.yaml:20 (tube from ring-40.yaml:4" in text
    assert "thickness: 12  # ring-40.yaml:5" in text
    again = tmp_path / "again.yaml"
    again.write_text(text, encoding="utf-8")
    reread = load_job(again, tmp_path)
    assert reread.value is not None, rendered(reread)
    assert reread.value.job.digest == read.value.job.digest


def test_a_job_of_its_own_may_have_parameters(tmp_path: Path) -> None:
    body = "\n".join(line[2:] for line in FAMILY[FAMILY.index("  units:") :].splitlines())
    head = FAMILY[FAMILY.index("parameters:") : FAMILY.index("members:")]
    path = write(tmp_path)
    from family_folder import machine

    text = f"spec: job/1\nname: alone\n{head}{body}".replace("small_machining_centre", machine())
    path.write_text(text, encoding="utf-8")
    read = load_job(path, tmp_path)
    assert read.value is not None, rendered(read)
    assert radius(read.value.job) == pytest.approx(25)


def test_text_may_hold_expressions(tmp_path: Path) -> None:
    family = FAMILY.replace("job:\n", "job:\n  title: Ring for ${ tube } and ${ deep } cuts\n")
    made = job(tmp_path, family=family, more="with: {tube: 2 in}\n")
    assert made.title.title == "Ring for 2 in and shallow cuts"


# what is wrong, and where it is told: change in the family, more in the member, expected
WRONG = {
    "limit": ("", "", "with: {tube: 80 mm}", ["E811 ring-40.yaml:4:14"]),
    "limit in other units": ("", "", "with: {tube: 3 in}", ["E811 ring-40.yaml:4:14"]),
    "choice": ("", "", "with: {deep: deepish}", ["E811 ring-40.yaml:4:14"]),
    "unknown parameter": ("", "", "with: {tubes: 30}", ["E809 ring-40.yaml:4:8"]),
    "worked out": ("", "", "with: {wall: 30}", ["E809 ring-40.yaml:4:8"]),
    "wrong kind": ("", "", "with: {tube: 30 deg}", ["E810 ring-40.yaml:4:14"]),
    "no quantity": ("", "", "with: {tube: true}", ["E810 ring-40.yaml:4:14"]),
    "check": ("", "", "with: {tube: 59 mm}", ["E812 families/ring.yaml:9:12"]),
    "sum": ("tube / 2 + wall }", "tube / 2 + 3 }", "", ["E804 families/ring.yaml:20:44"]),
    "unknown name": ("{ tube / 8", "{ tubes / 8", "", ["E803 families/ring.yaml:6:21"]),
    "syntax": ("{ tube / 8 }", "{ tube / }", "", ["E801 families/ring.yaml:6:27"]),
    "not closed": ("${ tube / 8 }", "${ tube / 8", "", None),
    "nothing to divide by": ("{ tube / 8 }", "{ tube / 0 }", "", ["E805 families/ring.yaml:6:21"]),
    "area": ("tube / 2 + wall }", "tube * wall }", "", ["E806 families/ring.yaml:20:40"]),
    "units": ("units: mm", "units: ${ deep }", "", None),
    "circle": ("{ tube / 8 }", "{ wall + tube }", "", ["E807 families/ring.yaml:6:3"]),
    "default": ("length: 40 mm", "length: 70 mm", "", ["E808 families/ring.yaml:5:18"]),
    "name taken": ("  wall:", "  min: {value: '${ wall }'}\n  wall:", "",
                   ["E808 families/ring.yaml:6:3", "W801 families/ring.yaml:6:3"]),
    "limit of another kind": ("min: 25 mm", "min: 25 deg", "", ["E808 families/ring.yaml:5:30"]),
    "no such pass": ("", "", "override: {passes: {finnish: {spring_passes: 1}}}",
                     ["E813 ring-40.yaml:4:21"]),
    "no such key": ("", "", "override: {stock: {thick: null}}", ["E813 ring-40.yaml:4:20"]),
    "units overridden": ("", "", "override: {units: inch}", ["E813 ring-40.yaml:4:12"]),
    "name overridden": ("", "", "override: {name: other}", ["E813 ring-40.yaml:4:12"]),
    "pass by a word": ("", "", "override: {passes: {finish: rough}}", ["E813 ring-40.yaml:4:21"]),
    "parameters in the job": ("job:\n", "job:\n  parameters: {n: {count: 1}}\n", "",
                              ["E808 families/ring.yaml:14:3"]),
    "name worked out": ("", "", "number: ${ tube }", []),
    "limit of what is worked out": ('value: "${ tube / 8 }"', 'value: "${ tube / 8 }", max: 4 mm',
                                    "", ["E811 families/ring.yaml:6:17"]),
    "limit of another kind than the result": (
        'value: "${ tube / 8 }"', 'value: "${ tube / 8 }", max: 40 deg', "",
        ["E808 families/ring.yaml:6:39"]),
    "limit of a choice": ("of: [shallow, deep]", "of: [shallow, deep], min: 2", "",
                          ["E808 families/ring.yaml:7:48"]),
    "of without a choice": ("max: 60 mm", "of: [a, b]", "", ["E808 families/ring.yaml:5:37"]),
    "unused": ("  wall:", "  spare: {count: 1}\n  wall:", "", ["W801 families/ring.yaml:6:3"]),
    "bad key": ("", "", "override: {stock: {thicknes: 3}}", ["E103 ring-40.yaml:4:20"]),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_is_told_where_it_stands(tmp_path: Path, name: str) -> None:
    old, new, more, expected = WRONG[name]
    assert not old or old in FAMILY
    read = loaded(tmp_path, family=FAMILY.replace(old, new, 1) if old else FAMILY, more=more)
    if expected is None:
        assert read.value is None and told(read)
    else:
        assert told(read) == expected, rendered(read)
    assert all(found.help and found.message for found in read.findings)


def test_an_error_in_an_expression_shows_the_member_that_set_the_value(tmp_path: Path) -> None:
    family = FAMILY.replace("{ tube / 8 }", "{ tube / (tube - 30 mm) * 1 mm }")
    read = loaded(tmp_path, family=family, more="with:\n  tube: 30 mm\n")
    assert told(read) == ["E805 families/ring.yaml:6:21"]
    assert also(read) == ["ring-40.yaml:5 `tube` is 30 mm"]
    text = rendered(read)
    assert "families/ring.yaml" in text and "ring-40.yaml" in text


def test_an_error_in_the_expanded_job_shows_the_member_too(tmp_path: Path) -> None:
    family = FAMILY.replace("tube / 2 + wall }", "tube / 2 - 15 mm }", 1)
    read = loaded(tmp_path, family=family, more="with: {tube: 26 mm}\n")
    assert told(read) == ["E108 families/ring.yaml:20:40"]
    assert also(read) == ["ring-40.yaml:4 `tube` is 26 mm"]


def test_an_error_that_no_parameter_caused_names_the_member(tmp_path: Path) -> None:
    read = loaded(tmp_path, more="override: {keep_regions: {ring: {tolerance: -1}}}\n")
    assert told(read) == ["E108 ring-40.yaml:4:45"]
    family = FAMILY.replace("material: aluminium_6061", "material: unobtainium")
    read = loaded(tmp_path, family=family)
    assert told(read) == ["E204 families/ring.yaml:16:13"]
    assert also(read) == ["ring-40.yaml:3 in the member made here"]
    read = loaded(tmp_path, family=family, name="ring-32")
    assert also(read) == ["families/ring.yaml:11 member `ring-32`"]


def test_a_check_shows_every_value_that_it_looked_at(tmp_path: Path) -> None:
    read = loaded(tmp_path, more="with: {tube: 59 mm}\n")
    assert also(read)[0] == "ring-40.yaml:4 `tube` is 59 mm"
    assert read.findings[0].message == "the ring would reach the stock's edge"


def test_a_limit_is_shown_beside_the_value(tmp_path: Path) -> None:
    read = loaded(tmp_path, name="ring-32", family=FAMILY.replace("tube: 32 mm", "tube: 3 in"))
    assert told(read) == ["E811 families/ring.yaml:11:19"]
    assert also(read) == ["families/ring.yaml:5 the limit"]
    assert "above its limit of 60 mm" in read.findings[0].message


@pytest.mark.parametrize("name", ["", "ring-33"])
def test_a_member_must_be_named_and_there(tmp_path: Path, name: str) -> None:
    write(tmp_path)
    read = load_job(tmp_path / "families" / "ring.yaml", tmp_path, name)
    assert [found.code for found in read.findings] == ["E815"]
    assert "ring-32" in read.findings[0].help


def test_from_must_lead_to_a_family(tmp_path: Path) -> None:
    path = write(tmp_path, member=MEMBER.replace("families/ring", "nowhere"))
    assert told(load_job(path, tmp_path)) == ["E601 ring-40.yaml:3:7"]
    path.write_text(MEMBER.replace("families/ring.yaml", "../../ring.yaml"), encoding="utf-8")
    assert told(load_job(path, tmp_path)) == ["E607 ring-40.yaml:3:7"]
    path.write_text(MEMBER.replace("families/ring.yaml", "ring-40.yaml"), encoding="utf-8")
    assert [found.code for found in load_job(path, tmp_path).findings] == ["E102"]


def test_recursion_between_parameters_is_quick(tmp_path: Path) -> None:
    """A chain of 199 parameters, and the same as a circle; neither may take long or overflow."""
    import time

    chain = "".join(f'  p{i}: {{value: "${{ p{i + 1} + 1 mm }}"}}\n' for i in range(190))
    tail = "  wall: {value: '${ p0 / 40 }'}\n  p190: {length: 1 mm}\n"
    start = FAMILY.index("  wall:")
    family = FAMILY[:start] + chain + tail + FAMILY[FAMILY.index("  deep:") :]
    assert radius(job(tmp_path, family=family)) == pytest.approx(20 + 191 / 40)
    circle = family.replace("p190: {length: 1 mm}", 'p190: {value: "${ p0 }"}')
    loaded(tmp_path, family=circle)
    begin = time.process_time()
    read = loaded(tmp_path, family=circle.replace("40 mm", "41 mm"))
    assert time.process_time() - begin < 0.1
    assert [found.code for found in read.findings] == ["E807"]


@pytest.mark.parametrize("text", ["${ 1 }" * 100_000, "${" * 100_000, "${ " + "9" * 400_000 + " }"])
def test_long_texts_of_expressions_are_refused_quickly(tmp_path: Path, text: str) -> None:
    import time

    loaded(tmp_path)
    family = FAMILY.replace("title: Finder ring", f'title: "{text}"', 1)
    begin = time.process_time()
    read = loaded(tmp_path, family=family)
    assert time.process_time() - begin < 0.5  # most of it for reading the YAML
    assert read.value is None


# RFC 7396 appendix A: target, patch, result
RFC_7396 = [
    ({"a": "b"}, {"a": "c"}, {"a": "c"}),
    ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
    ({"a": "b"}, {"a": None}, {}),
    ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
    ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
    ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
    ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
    ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
    ({"a": "foo"}, {"b": "bar"}, {"a": "foo", "b": "bar"}),
    ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
    ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
]


@pytest.mark.parametrize("case", RFC_7396, ids=str)
def test_overrides_merge_as_rfc_7396_says(case: tuple) -> None:
    """Outside check: the examples of RFC 7396 appendix A that have objects on both sides."""
    import json

    from compiler.spec.families.override import Override
    from compiler.spec.source import read
    from compiler.spec.tree import plain

    target, patch, expected = case
    nodes = [read(json.dumps(item).encode(), "x.yaml").value for item in (target, patch)]
    assert nodes[0] is not None and nodes[1] is not None
    assert plain(Override().apply(nodes[0], nodes[1])) == expected


def test_an_override_reaches_one_pass_by_name(tmp_path: Path) -> None:
    made = job(tmp_path, more="override: {passes: {finish: {spring_passes: 1}}}\n")
    assert [item.spring_passes for item in made.passes] == [0, 1]
    made = job(tmp_path, more="override: {passes: {rough 1: {to: -4}, finish: null}}\n")
    assert [(item.name, item.to) for item in made.passes] == [("rough 1", -4)]


def test_an_override_may_use_the_parameters(tmp_path: Path) -> None:
    made = job(tmp_path, more='override: {passes: {rough 1: {to: "${ -tube / 10 }"}}}\n')
    assert made.passes[0].to == pytest.approx(-4)


@pytest.mark.parametrize(
    ("rows", "place"),
    [
        ("tube\n30\n", "1:1"),
        ("name,tube\nring-32,30,4\n", "2:1"),
        ("name,tube\nring-32,30\nring-32,31\n", "3:1"),
        ("name,tube,tube\nring-32,30,31\n", "1:11"),
        ("name,,tube\nring-32,,31\n", "1:6"),
        ('name,tube\nring-32,"30\n', "2:9"),
        ('name,tube\nring-32,"30" mm\n', "2:9"),
        ("name,tube\n", "1:1"),
        ("name,tube\nring-32,.inf\n", "2:9"),
    ],
)
def test_a_table_in_csv_that_is_not_well_formed(tmp_path: Path, rows: str, place: str) -> None:
    start, end = FAMILY.index("members:"), FAMILY.index("job:")
    family = FAMILY[:start] + "members: rings.csv\n" + FAMILY[end:]
    (tmp_path / "families").mkdir()
    (tmp_path / "families" / "rings.csv").write_text(rows, encoding="utf-8")
    read = loaded(tmp_path, family=family, name="ring-32")
    assert told(read) == [f"E814 families/rings.csv:{place}"], rendered(read)


@pytest.mark.parametrize("seed", range(4))
def test_mangled_families_give_findings_and_never_a_traceback(tmp_path: Path, seed: int) -> None:
    """Random edits of family, member and table; whatever comes of them, it is told."""
    import random

    chosen = random.Random(seed)
    pieces = ["${", "}", "tube", ": ", "null", "[", "{", '"', "\n", "- ", "9" * 30, "  ", "from",
              "override: {passes: 3}", "&a ", "*a", "1e9 mm", "true", ",", "'", "#"]  # fmt: skip
    more = "with: {tube: 30 mm}\noverride: {passes: {finish: {spring_passes: 1}}}\n"
    write(tmp_path)
    for _ in range(60):
        texts = [FAMILY, MEMBER + more]
        which = chosen.randrange(2)
        for _ in range(chosen.randint(1, 3)):
            text = texts[which]
            start = chosen.randrange(len(text))
            end = start + chosen.choice([0, 1, 2, 8])
            texts[which] = text[:start] + chosen.choice(pieces) + text[end:]
        path = write(tmp_path, family=texts[0], member=texts[1])
        for read in (
            load_job(path, tmp_path),
            load_job(tmp_path / "families" / "ring.yaml", tmp_path, "ring-32"),
        ):
            assert (read.value is None) == any(f.severity == "error" for f in read.findings)
            assert all(found.help for found in read.findings)
