"""The page as a file: whole, safe, the same each time, and true to the program it shows."""

import json
import re
from dataclasses import replace

import pytest
from plates import every_move, example

from compiler.read import Motion, columns
from compiler.simulate import motion_times, total_time
from compiler.view import page
from compiler.view.data import page_data, read_program
from compiler.view.page import CLIENT, MODULES, script

EXPORT = re.compile(r"^export (?:async )?(?:function|const) (\w+)", re.MULTILINE)
TOP = re.compile(r"^(?:export )?(?:function|const|let) (\w+)", re.MULTILINE)
IMPORT = re.compile(r'^import \{ ([^}]*) \} from "\./([\w.]+)";', re.MULTILINE)


def data_of(html: str) -> dict:
    found = re.search(r'<script type="application/json" id="data">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    return json.loads(found[1])


@pytest.fixture(scope="module")
def html() -> str:
    return page(*example().arguments())


def test_same_bytes_twice(html):
    assert page(*example().arguments()) == html


def test_asks_the_network_for_nothing(html):
    assert "default-src 'none'" in html
    outside = html.replace(data_text(html), "")
    assert not re.findall(r"""(?:src|href)\s*=\s*["'](?!data:)""", outside)
    assert not re.findall(r"https?://|fetch\(|XMLHttpRequest|import\(", outside)


def data_text(html: str) -> str:
    found = re.search(r'id="data">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    return found[1]


def test_is_small(html):
    assert len(html.encode()) < 1_000_000


def test_an_authors_words_stay_words():
    made = example()
    rude = '</script><script>alert(1)</script><!-- {{script}} "\u2028'
    job = replace(made.job, title=replace(made.job.title, title=rude))
    html = page(job, *made.arguments()[1:])
    assert html.count("</script>") == page(*made.arguments()).count("</script>")
    assert data_of(html)["job"]["title"] == rude
    assert "{{" not in html.replace("{{script}}", "")


def test_every_motion_is_a_step_and_ends_where_it_does():
    made = every_move()
    data = page_data(*made.arguments())
    motions = read_program(made.job, made.plan, made.text).motions
    steps = data["steps"]
    here = [0, 0, 0]
    ends: dict[int, list[int]] = {}
    for k, motion in enumerate(steps["motion"]):
        for axis, name in enumerate("xyz"):
            if steps[name][k] is not None:
                here[axis] += steps[name][k]
        if motion >= 0:
            ends[motion] = list(here)
    assert sorted(ends) == list(range(len(motions)))
    for index, motion in enumerate(motions):
        if motion.end.known:
            assert [v / 10_000 for v in ends[index]] == pytest.approx(
                [motion.end.x, motion.end.y, motion.end.z], abs=5.1e-5
            )


def test_its_time_is_the_programs():
    made = every_move()
    data = page_data(*made.arguments())
    program = read_program(made.job, made.plan, made.text)
    machine = made.job.machine
    seconds = motion_times(
        columns(program.motions),
        rapid=machine.rapid,
        acceleration=machine.acceleration,
        most_feed=machine.max_feed,
    )
    whole = total_time(seconds, program.blocks, change_time=machine.change_time)
    assert sum(data["steps"]["time"]) / 10_000 == pytest.approx(whole, abs=0.01)


def test_the_examples_time_and_text_are_the_reports(html):
    made = example()
    data = data_of(html)
    assert sum(data["steps"]["time"]) / 10_000 == pytest.approx(made.report.time_s, abs=0.05)
    assert "\n".join(data["text"]) + "\n" == made.text
    assert data["job"]["programDigest"] == made.report.program_digest[:16]
    for operation, fact in zip(data["operations"], made.report.operations, strict=True):
        assert (operation["id"], operation["first"]) == (fact.operation, fact.first_line)


def test_engagement_on_the_page_is_the_reports(html):
    """On the coarser grid the peak comes out within 3 degrees of the judge's."""
    made = example()
    data = data_of(html)
    counts, degrees = data["engaged"]["counts"], data["engaged"]["degrees"]
    assert sum(counts) == len(degrees)
    owner = {
        motion: op
        for motion, op in zip(data["steps"]["motion"], data["steps"]["op"], strict=True)
        if motion >= 0
    }
    peaks: dict[int, int] = {}
    first = 0
    for motion, count in enumerate(counts):
        if count:
            peak = max(degrees[first : first + count])
            peaks[owner[motion]] = max(peak, peaks.get(owner[motion], 0))
        first += count
    for index, fact in enumerate(made.report.operations):
        if fact.peak_engagement_deg is not None:
            assert peaks[index] == pytest.approx(fact.peak_engagement_deg, abs=3)


def test_waits_are_steps_too():
    made = every_move()
    data = page_data(*made.arguments())
    lines = dict(zip(data["steps"]["line"], data["steps"]["time"], strict=True))
    said = made.text.split("\n")
    assert lines[said.index("G4 P2.5") + 1] == 25_000
    assert lines[said.index("T2 M6") + 1] == round(made.job.machine.change_time * 10_000)


def test_engaged_shares_follow_the_path():
    """A full slot reads 180 degrees along its whole length (a cutter in solid: plane geometry)."""
    made = every_move()
    data = page_data(*made.arguments())
    program = read_program(made.job, made.plan, made.text)
    slot = next(k for k, m in enumerate(program.motions) if _is_slot(m))
    first = sum(data["engaged"]["counts"][:slot])
    inside = data["engaged"]["degrees"][first : first + data["engaged"]["counts"][slot]]
    assert inside[0] == 0  # still in air beside the stock
    assert all(angle == pytest.approx(180, abs=3) for angle in inside[5:])


def _is_slot(motion: Motion) -> bool:
    return motion.kind == "line" and abs(motion.start.x + 8) < 1e-9 and motion.end.x == 30.5


def test_modules_import_what_they_use_from_before():
    """The modules are joined in one scope: names are unique, imports point backwards."""
    names: dict[str, str] = {}
    for module in MODULES:
        text = (CLIENT / module).read_text(encoding="utf-8")
        for name in TOP.findall(text):
            assert name not in names, f"{name} in {module} and {names[name]}"
            names[name] = module
        for listed, source in IMPORT.findall(text):
            assert MODULES.index(source) < MODULES.index(module)
            exported = EXPORT.findall((CLIENT / source).read_text(encoding="utf-8"))
            assert set(listed.split(", ")) <= set(exported), module
    assert sorted(MODULES) == sorted(file.name for file in CLIENT.glob("*.js"))
    joined = script()
    assert "import {" not in joined
    assert not re.search(r"^export ", joined, re.MULTILINE)
