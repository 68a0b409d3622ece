"""A job file to a resolved job: the one way in.

    read = load_job(Path("specs/bracket.yaml"), root)
    if not read.failed: plan(read.value.job)

`read.sources` holds the text of every file that was read, for snippets, whether or not it failed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from compiler.diagnostics import Diagnostic, Outcome, has_errors, in_order
from compiler.job import Job
from compiler.spec import not_yet
from compiler.spec.document import as_job, as_shop
from compiler.spec.files import Found, find_root, first_file, named_file
from compiler.spec.linked import Linked
from compiler.spec.models import Job as Document
from compiler.spec.models import Member
from compiler.spec.place import Place
from compiler.spec.resolve import resolve
from compiler.spec.shop import ShopFile
from compiler.spec.source import read as read_source
from compiler.spec.tree import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A job and what it was read from."""

    job: Job
    document: Document
    tree: Table
    shop: ShopFile
    sources: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Reading(Outcome[Loaded]):
    """An outcome that also keeps the texts that were read, by the names that spans use."""

    sources: Mapping[str, str] = field(default_factory=dict)


def load_job(path: Path, root: Path | None = None) -> Reading:
    """Read, validate and resolve a job file.

    Args:
        path: The job file.
        root: Nothing outside it is read; default the git work tree, else the job's folder.

    Any bytes at all in the files give findings (E0, E1, E2, E3, E601 to E607), not exceptions.
    """
    root = (find_root(path) if root is None else root).resolve()
    found = first_file(path, root)
    if found.value is None:
        return Reading(None, found.findings)
    sources: dict[str, str] = {}
    findings: list[Diagnostic] = []
    loaded = _load(found.value, root, sources, findings)
    if has_errors(findings):
        loaded = None
    return Reading(loaded, in_order(findings), MappingProxyType(sources))


def _load(
    file: Found, root: Path, sources: dict[str, str], findings: list[Diagnostic]
) -> Loaded | None:
    tree = _tree(file, sources, findings)
    if tree is None:
        return None
    typed = as_job(tree)
    findings += typed.findings
    document = typed.value
    if isinstance(document, Member):
        findings.append(not_yet.family(tree.entries["from"].key_span))
        return None
    findings += not_yet.expressions(tree)
    units = document.units if document else "mm"
    place = Place(tree, units, findings, linked=Linked(root))
    shop = _shop(document, file, root, place, sources)
    if document is None or shop is None or has_errors(findings):
        return None
    resolved = resolve(document, shop, place, file.name)
    if resolved.value is None:
        return None
    return Loaded(
        job=resolved.value,
        document=document,
        tree=tree,
        shop=shop,
        sources=MappingProxyType(dict(sources)),
    )


def _shop(
    document: Document | None, file: Found, root: Path, place: Place, sources: dict[str, str]
) -> ShopFile | None:
    """The shop file that a job names; an empty one where it names none; None where it is faulty."""
    if document is None or document.shop is None:
        return ShopFile()
    where = place / "shop"
    found = named_file(document.shop, file.path, root, where.span, where.text)
    place.findings.extend(found.findings)
    if found.value is None:
        return None
    tree = _tree(found.value, sources, place.findings)
    if tree is None:
        return None
    typed = as_shop(tree)
    place.findings.extend(typed.findings)
    return None if typed.value is None else ShopFile.of(typed.value, tree)


def _tree(file: Found, sources: dict[str, str], findings: list[Diagnostic]) -> Table | None:
    """The tree of a file; its text is kept for snippets even where it is faulty."""
    sources[file.name] = file.data.decode("utf-8", errors="replace").removeprefix("\ufeff")
    read = read_source(file.data, file.name)
    findings += read.findings
    return None if has_errors(read.findings) else read.value
