"""What the documents show works as shown."""

import re
import shutil
from pathlib import Path

import pytest
from conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def test_the_job_in_the_readme_builds(tmp_path: Path, standproud) -> None:
    (job,) = blocks("yaml")
    spec = tmp_path / "job.yaml"
    spec.write_text(job, encoding="utf-8")
    ran = standproud("build", spec)
    assert ran.status == 0, ran.err
    assert (tmp_path / "out" / "dew-heater-clamp.nc").stat().st_size > 0
    drawn = (tmp_path / "out" / "dew-heater-clamp.plan.svg").read_bytes()
    shown = ROOT / "specs" / "dew-heater-clamp.svg"
    assert shown.read_bytes() == drawn, f"copy the new picture to {shown}"
    assert f"(specs/{shown.name})" in README


def test_the_readme_gives_two_commands() -> None:
    setup, tests = blocks("sh")
    assert "standproud build specs/" in setup
    assert "pytest" in tests


def test_the_readme_names_every_command(standproud) -> None:
    from compiler.commands.main import COMMANDS

    for command in COMMANDS:
        assert f"| `{command.name} " in README or f"| `{command.name}`" in README, command.name


def test_the_readme_names_every_obligation() -> None:
    from typing import get_args

    from compiler.judge.model import ObligationName

    for name in get_args(ObligationName):
        assert f"| `{name}` |" in README


TOUR = (ROOT / "specs" / "tour.md").read_text(encoding="utf-8")
STEPS = re.findall(r"^```sh\nstandproud (.*?)\n```$", TOUR, re.MULTILINE)


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project of its own with the example jobs, as a reader of the tour has it."""
    folder = tmp_path_factory.mktemp("tour")
    (folder / ".git").mkdir()
    shutil.copytree(ROOT / "specs", folder / "specs", ignore=shutil.ignore_patterns("out"))
    return folder


@pytest.mark.parametrize("step", STEPS)
def test_every_command_of_the_tour_does_what_it_says(
    step: str, workshop: Path, standproud, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(workshop)
    ran = standproud(*step.split())
    assert ran.status == 0, ran.err
    assert ran.out


def test_the_job_in_the_tour_is_good(workshop: Path, standproud) -> None:
    (job,) = re.findall(r"^```yaml\n(.*?)^```$", TOUR, re.MULTILINE | re.DOTALL)
    spec = workshop / "specs" / "pier-adapter.yaml"
    spec.write_text(job, encoding="utf-8")
    ran = standproud("check", spec)
    assert (ran.status, ran.err) == (0, ""), ran.err


def test_the_tour_shows_the_whole_way() -> None:
    shown = [step.split()[0] for step in STEPS]
    way = ["measure", "draft", "check", "plan", "build", "view", "build", "verify", "expand"]
    assert shown == [*way, "diff"]


def test_the_figures_in_the_tour_are_those_that_are_printed(standproud) -> None:
    ran = standproud("measure", ROOT / "specs" / "drawings" / "guider-plate.dxf")
    assert "narrowest channel: 9.016 mm" in ran.out and "9.016 mm" in TOUR
    assert "the largest 0.057 mm" in ran.out and "0.057 mm" in TOUR


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "specs/tour.md", "specs/safety.md"])
def test_links_lead_to_files_that_are_there(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    for link in re.findall(r"\]\((?!https?:|#)([^)#]+)", text):
        assert ((ROOT / page).parent / link).exists(), link
