"""A spec as a git revision has it: its project's files taken out into a folder of their own.

Only kinds of files that a spec can name are taken out. The work tree and the index stay untouched.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

KINDS = (".yaml", ".yml", ".csv", ".dxf", ".step", ".stp", ".p21")
MAX_FILES = 20_000
MAX_BYTES = 1 << 30
HELP = (
    "write REVISION:PATH, as `HEAD~1:specs/plate.yaml`; the path is taken from the root of the git "
    "work tree, or from the current folder where it begins with `./`"
)
_LINK = "120000"  # git's mode of a symbolic link
_FILE = ("100644", "100755")


class NoRevisionError(Exception):
    """The revision or the file in it can't be had; the message says why, `help` what to do."""

    def __init__(self, message: str, help: str = HELP) -> None:
        super().__init__(message)
        self.help = help


@dataclass(frozen=True, slots=True)
class Spec:
    """A spec of a revision: its path and the root that bounds what it may name."""

    path: Path
    root: Path


def is_revision(said: str) -> bool:
    """Whether `REVISION:PATH` is meant: no file of that name, a colon after more than a drive."""
    revision, colon, path = said.partition(":")
    return bool(colon and path and len(revision) > 1) and not Path(said.split("#")[0]).exists()


@contextmanager
def taken_out(said: str) -> Iterator[Spec]:
    """The spec that `REVISION:PATH` names, readable while the context lasts.

    PATH is taken from the root of the work tree, or, beginning with `./`, from the current folder,
    as git itself does. Raises NoRevisionError.
    """
    revision, _, name = said.partition(":")
    top = work_tree()
    commit = _commit(revision)
    inner = _inner(name, top)
    with TemporaryDirectory(prefix="standproud-") as folder:
        root = Path(folder).resolve()
        _take_out(commit, root, top)
        path = root / inner
        if not path.is_file():
            raise NoRevisionError(f"there is no file `{name}` in `{revision}`")
        yield Spec(path, root)


def work_tree() -> Path:
    """The root of the git work tree that holds the current folder. Raises NoRevisionError."""
    try:
        found = _git("rev-parse", "--show-toplevel")
    except NoRevisionError as fault:
        if fault.help != HELP:
            raise  # there is no git at all
        raise NoRevisionError(
            "this folder is under no revision control by git, so there is no earlier state to "
            "compare with",
            "give a second file: `standproud diff OLD.yaml NEW.yaml`",
        ) from None
    return Path(found.decode().strip())


def _commit(revision: str) -> str:
    if revision.startswith("-"):
        raise NoRevisionError(f"`{revision}` is not a revision")
    try:
        found = _git("rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}")
    except NoRevisionError:
        raise NoRevisionError(f"there is no revision `{revision}`") from None
    return found.decode().strip()


def _inner(name: str, top: Path) -> PurePosixPath:
    if name.startswith(("./", "../")):
        real = (Path.cwd() / name).resolve()
        if not real.is_relative_to(top.resolve()):
            raise NoRevisionError(f"`{name}` is outside the work tree")
        return PurePosixPath(real.relative_to(top.resolve()).as_posix())
    inner = PurePosixPath(name)
    if inner.is_absolute() or ".." in inner.parts:
        raise NoRevisionError(f"`{name}` is not a path in the work tree")
    return inner


def _take_out(commit: str, root: Path, top: Path) -> None:
    """Write the revision's specs and drawings below a folder."""
    wanted: list[tuple[str, str, str]] = []  # mode, object, path
    for entry in _git("ls-tree", "-r", "-z", "--full-tree", commit).split(b"\0"):
        if not entry:
            continue
        head, _, path = entry.partition(b"\t")
        mode, kind, name = head.decode().split()
        text = path.decode("utf-8", errors="surrogateescape")
        if kind == "blob" and (mode in _FILE or mode == _LINK) and _is_wanted(text, mode):
            wanted.append((mode, name, text))
    if len(wanted) > MAX_FILES:
        raise NoRevisionError(f"the revision has more than {MAX_FILES} specs and drawings")
    contents = _contents([name for _, name, _ in wanted], top)
    for (mode, _, text), content in zip(wanted, contents, strict=True):
        file = root / text
        file.parent.mkdir(parents=True, exist_ok=True)
        if mode == _LINK:
            file.symlink_to(content.decode("utf-8", errors="surrogateescape"))
        else:
            file.write_bytes(content)


def _is_wanted(path: str, mode: str) -> bool:
    parts = PurePosixPath(path).parts
    if ".." in parts or path.startswith("/"):
        return False
    return mode == _LINK or PurePosixPath(path).suffix.lower() in KINDS


def _contents(objects: list[str], top: Path) -> list[bytes]:
    """The bytes of git objects, all in one go."""
    if not objects:
        return []
    asked = "".join(f"{name}\n" for name in objects).encode()
    answer = _git("cat-file", "--batch", given=asked, folder=top)
    found: list[bytes] = []
    place = held = 0
    for _ in objects:
        end = answer.index(b"\n", place)
        size = int(answer[place:end].split()[2])
        held += size
        if held > MAX_BYTES:
            raise NoRevisionError("the revision's specs and drawings are too large")
        found.append(answer[end + 1 : end + 1 + size])
        place = end + 1 + size + 1
    return found


def _git(*words: str, given: bytes = b"", folder: Path | None = None) -> bytes:
    try:
        done = subprocess.run(
            ["git", *words], input=given, capture_output=True, cwd=folder, check=False
        )
    except FileNotFoundError:
        raise NoRevisionError(
            "git is not installed, or not on the path",
            "install git, or name two files: `standproud diff OLD.yaml NEW.yaml`",
        ) from None
    if done.returncode:
        told = done.stderr.decode("utf-8", errors="replace").strip().splitlines()
        raise NoRevisionError(told[0] if told else f"git {words[0]} failed")
    return done.stdout
