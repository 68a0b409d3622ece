"""`expand`: the resolved job as YAML, each value with the file and line that set it; and as data.

The YAML is itself a job that compiles to the same digest.
"""

from __future__ import annotations

import json
import re

from compiler.spec.load import Loaded
from compiler.spec.resolved import Branch, Leaf, Tree, resolved
from compiler.spec.scalars import resolve
from compiler.spec.tree import Path, path_text

VERSION = 1
INDENT = "  "
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9_./-]*(?: [A-Za-z0-9_./-]+)*")
_NUMBER_WITH_UNIT = re.compile(r"[-+]?\.?[0-9][0-9./-]*(?: ?[a-zA-Z%]+)?(?:/[a-z0-9]+)?")


def expand(loaded: Loaded) -> str:
    """The resolved job as YAML text, ending in a newline; after each value, what set it."""
    lines: list[str] = [f"# {loaded.job.spec_file}, resolved; digest {loaded.job.digest}"]
    _branch(resolved(loaded), "", lines)
    return "\n".join(lines) + "\n"


def expand_data(loaded: Loaded) -> dict[str, object]:
    """The same as data for JSON: the job's values, and by path what set each."""
    tree = resolved(loaded)
    set_by: dict[str, str] = {}
    job = _data(tree, (), set_by)
    return {
        "version": VERSION,
        "spec": loaded.job.spec_file,
        "digest": loaded.job.digest,
        "job": job,
        "set_by": set_by,
    }


def _data(tree: Tree, path: Path, set_by: dict[str, str]) -> object:
    match tree:
        case Leaf(value, _, origin):
            set_by[path_text(path)] = origin
            return value
        case list():
            return [_data(item, (*path, i), set_by) for i, item in enumerate(tree)]
        case dict():
            return {key: _data(item, (*path, key), set_by) for key, item in tree.items()}


def _branch(branch: Branch, indent: str, lines: list[str]) -> None:
    """A mapping, one key a line."""
    for key, value in branch.items():
        _entry(f"{indent}{_text(key)}:", value, indent, lines)


def _entry(head: str, value: Tree, indent: str, lines: list[str]) -> None:
    """What stands behind a key or a dash: on the same line if it fits there, else below."""
    if isinstance(value, Leaf) or _is_flat(value):
        lines.append(f"{head} {_flow(value)}  # {_origin(value)}")
    elif isinstance(value, dict):
        lines.append(head if value else f"{head} {{}}")
        _branch(value, indent + INDENT, lines)
    else:
        lines.append(head if value else f"{head} []")
        for item in value:
            _item(item, indent + INDENT, lines)


def _item(item: Tree, indent: str, lines: list[str]) -> None:
    """One item of a list, behind a dash."""
    if isinstance(item, dict) and item:
        start = len(lines)
        _branch(item, indent + INDENT, lines)
        lines[start] = f"{indent}- {lines[start].lstrip()}"
    else:
        _entry(f"{indent}-", item, indent, lines)


def _is_flat(value: Tree) -> bool:
    """Whether it is a list of single values that one line set: a point, a list of names."""
    if not isinstance(value, list) or not value:
        return False
    leaves = [item for item in value if isinstance(item, Leaf)]
    return len(leaves) == len(value) and len({leaf.set_by for leaf in leaves}) == 1


def _flow(value: Tree) -> str:
    match value:
        case Leaf(said, text):
            return _text(said) if isinstance(said, str) else text
        case list():
            return "[" + ", ".join(_flow(item) for item in value) + "]"
        case dict():
            raise TypeError("mappings are written as blocks")


def _origin(value: Tree) -> str:
    while isinstance(value, list):
        value = value[0]
    assert isinstance(value, Leaf)
    return value.set_by


def _text(text: str) -> str:
    """Text as YAML: plain where that reads back as the same text, else in double quotes."""
    plain = _PLAIN.fullmatch(text) or _NUMBER_WITH_UNIT.fullmatch(text)
    if plain and resolve(text) == text:
        return text
    return json.dumps(text, ensure_ascii=False)
