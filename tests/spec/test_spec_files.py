"""Files that a spec names stay below the root, whatever way a path tries to leave it."""

import os
from pathlib import Path

import pytest
import whole_job
from spec_folder import BASE, write_data

from compiler.spec.load import load_job
from compiler.spec.root import find_root


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A project with a shop file beside it that it must not reach."""
    write_data(tmp_path, "shop.yaml", whole_job.SHOP)
    root = tmp_path / "project"
    (root / "specs").mkdir(parents=True)
    write_data(root, "shop.yaml", whole_job.SHOP)
    return root


def codes(root: Path, shop: str) -> list[str]:
    text = BASE.replace("machine: knee_mill", f"shop: {shop!r}\nmachine: mill")
    path = root / "specs" / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return [found.code for found in load_job(path, root).findings]


def test_a_path_is_relative_to_the_file_that_names_it(project: Path) -> None:
    assert codes(project, "../shop.yaml") == []
    assert codes(project, "shop.yaml") == ["E601"]
    assert codes(project, "../specs/../shop.yaml") == []


@pytest.mark.parametrize(
    "shop",
    [
        "../../shop.yaml",
        "../../project/../shop.yaml",
        "/etc/hostname",
        "//host/share/shop.yaml",
        "C:/shop.yaml",
        "C:\\shop.yaml",
        "..\\..\\shop.yaml",
        "~/shop.yaml",
        "file:///shop.yaml",
    ],
)
def test_paths_that_leave_the_project(project: Path, shop: str) -> None:
    assert codes(project, shop) == ["E607"]


def test_links_that_leave_the_project(project: Path) -> None:
    (project / "specs" / "link.yaml").symlink_to(project.parent / "shop.yaml")
    (project / "specs" / "folder").symlink_to(project.parent, target_is_directory=True)
    assert codes(project, "link.yaml") == ["E607"]
    assert codes(project, "folder/shop.yaml") == ["E607"]


def test_links_inside_the_project_are_followed(project: Path) -> None:
    (project / "specs" / "link.yaml").symlink_to(project / "shop.yaml")
    assert codes(project, "link.yaml") == []


def test_links_that_go_in_a_circle(project: Path) -> None:
    (project / "specs" / "a.yaml").symlink_to(project / "specs" / "b.yaml")
    (project / "specs" / "b.yaml").symlink_to(project / "specs" / "a.yaml")
    assert codes(project, "a.yaml")[0] in ("E601", "E603")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no pipes with names")
def test_what_is_no_file_is_not_waited_for(project: Path) -> None:
    os.mkfifo(project / "specs" / "pipe")
    assert codes(project, "pipe") == ["E603"]


def test_a_job_named_as_its_own_shop(project: Path) -> None:
    assert codes(project, "job.yaml") == ["E102"]


def test_the_root_is_the_work_tree(tmp_path: Path) -> None:
    (tmp_path / "repo" / ".git").mkdir(parents=True)
    (tmp_path / "repo" / "a" / "b").mkdir(parents=True)
    job = tmp_path / "repo" / "a" / "b" / "job.yaml"
    assert find_root(job) == (tmp_path / "repo").resolve()
