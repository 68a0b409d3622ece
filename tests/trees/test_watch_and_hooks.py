"""`watch` checks again on saving; the hooks for pre-commit run what they say."""

import os
import shlex
import subprocess
import sys
import threading
from pathlib import Path

import pytest
import yaml
from conftest import ROOT
from tree_of_rings import rings, table

from compiler.commands.modeline import modeline


def test_watch_checks_again_when_any_file_of_a_job_is_saved(standproud, tmp_path: Path) -> None:
    """A member's size in the table is saved wrong, then right: three checks."""
    folder = rings(tmp_path / "rings", 1)
    changes = [lambda: table(folder, [99.0]), lambda: table(folder, [7.0])]
    timers = [threading.Timer(0.8 * (i + 1), change) for i, change in enumerate(changes)]
    for timer in timers:
        timer.start()
    ran = standproud("watch", folder / "rings.yaml#ring-000", "--times", "3")
    for timer in timers:
        timer.join()
    assert ran.status == 0
    states = [line.split(";")[0] for line in ran.err.splitlines() if "waiting for" in line]
    assert states == ["good", "falls short", "good"]
    assert "E811" in ran.err and "rings.csv:2:10" in ran.err


def test_watch_ends_where_there_is_nothing_to_watch(standproud, tmp_path: Path) -> None:
    assert standproud("watch", tmp_path / "none.yaml", "--times", "1").status == 2


def hook(name: str) -> list[str]:
    """A hook's words, the command replaced by this interpreter's."""
    hooks = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    (found,) = [entry for entry in hooks if entry["id"] == name]
    assert found["language"] == "python" and found["pass_filenames"] is False
    words = [*shlex.split(found["entry"]), *found["args"]]
    assert words[0] == "standproud"
    return [sys.executable, "-m", "compiler", *words[1:]]


def status(words: list[str], folder: Path) -> int:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.run(words, cwd=folder, env=environment, capture_output=True).returncode


def test_the_hook_for_specs_passes_good_ones_and_stops_bad_ones(tmp_path: Path) -> None:
    folder = rings(tmp_path / "rings", 2)
    assert status(hook("standproud-check"), folder) == 0
    table(folder, [8.0, 99.0])
    assert status(hook("standproud-check"), folder) == 1


def test_the_hook_for_schemas_stops_old_ones(tmp_path: Path) -> None:
    (tmp_path / "schemas").mkdir()
    for path in (ROOT / "schemas").iterdir():
        (tmp_path / "schemas" / path.name).write_bytes(path.read_bytes())
    assert status(hook("standproud-schema"), tmp_path) == 0
    (tmp_path / "schemas" / "job.schema.json").write_text("{}")
    assert status(hook("standproud-schema"), tmp_path) == 1


def test_progress_is_shown_on_a_terminal_and_not_in_a_pipe() -> None:
    import io

    from compiler.commands.progress import Progress
    from compiler.commands.shell import Shell

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    for stream, expected in ((Terminal(), "\r\x1b[K1 of 3  a.yaml"), (io.StringIO(), "")):
        progress = Progress(Shell(io.StringIO(), stream, "text", False), 3)
        progress.step("a.yaml")
        assert stream.getvalue() == expected


@pytest.mark.parametrize("form", ["json", "github"])
def test_machine_read_forms_have_no_progress(form: str) -> None:
    import io

    from compiler.commands.progress import Progress
    from compiler.commands.shell import Shell

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    stream = Terminal()
    Progress(Shell(io.StringIO(), stream, form, False), 3).step("a.yaml")  # type: ignore[arg-type]
    assert stream.getvalue() == ""


def test_every_example_names_its_schema_for_editors() -> None:
    specs = [path for path in (ROOT / "specs").rglob("*.yaml") if "out" not in path.parts]
    assert len(specs) > 5
    for spec in specs:
        text = spec.read_text(encoding="utf-8")
        language = text[text.index("spec: ") + 6 :].split("/")[0]
        assert text.startswith(modeline(spec, language)), spec
        schema = spec.parent / text.splitlines()[0].split("$schema=")[1]
        assert schema.resolve() == ROOT / "schemas" / f"{language}.schema.json"
        assert schema.is_file()
