"""What the documents show works as shown."""

import re
from pathlib import Path

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
