"""What all tests share: the project's folders, and the command as a user would call it."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from compiler.road import Journey

ROOT = Path(__file__).resolve().parent.parent
THOROUGH = os.environ.get("HYPOTHESIS_PROFILE") == "thorough"

# the suite stays quick by default; `HYPOTHESIS_PROFILE=thorough` looks longer
settings.register_profile(
    "quick", max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("thorough", max_examples=1000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))


# files whose tests take `example`: they go to one process, in which each job is proven once
OF_EXAMPLES = frozenset(
    {
        "tests/judge/test_cycle_time.py",
        "tests/judge/test_owners.py",
        "tests/pictures/test_evidence_pictures.py",
        "tests/simulate/test_solid_volumes.py",
        "tests/view/test_view_page.py",
        "tests/write/test_every_option.py",
    }
)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """With `--dist loadfile`: a file's tests stay together, and so do those of the examples."""
    if config.getoption("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadFileScheduling

    class Scheduling(LoadFileScheduling):
        def _split_scope(self, nodeid: str) -> str:
            file: str = super()._split_scope(nodeid)
            return "examples" if file in OF_EXAMPLES else file

    return Scheduling(config, log)


@cache
def example(name: str) -> Journey:
    """An example job, planned and proven once for all tests of a process: a value, not changed."""
    from compiler.road import prove_job

    return prove_job(ROOT / "specs" / f"{name}.yaml", ROOT)


@dataclass(frozen=True)
class Ran:
    """What one call of the command gave."""

    status: int
    out: str
    err: str


@pytest.fixture
def standproud(capsys: pytest.CaptureFixture[str]):
    """Call the command in this process: `standproud("build", path)`."""
    from compiler.commands.main import main

    def run(*arguments: str | Path) -> Ran:
        capsys.readouterr()
        try:
            status = main([str(argument) for argument in arguments])
        except SystemExit as left:  # argparse leaves this way on wrong use
            status = int(left.code or 0)
        told = capsys.readouterr()
        return Ran(status, told.out, told.err)

    return run


@pytest.fixture(scope="session")
def specs() -> Path:
    """The folder of example jobs."""
    return ROOT / "specs"
