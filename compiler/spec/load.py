"""A job file to a resolved job: the one way in.

    read = load_job(Path("specs/bracket.yaml"), root)
    if not read.failed: plan(read.value.jobs)

A job file, a member of a family (a file with `from`), or a family and the name of a member in its
table.

`read.sources` holds the text of every file that was read, for snippets, whether or not it failed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType

from compiler.diagnostics import Diagnostic, Outcome, has_errors, in_order
from compiler.job import Job
from compiler.spec.document import as_job, as_shop
from compiler.spec.families.make import plain_job
from compiler.spec.families.member import from_file, from_table, parsed
from compiler.spec.families.origins import Origins
from compiler.spec.files import Found, first_file, named_file
from compiler.spec.linked import Linked
from compiler.spec.models import Job as Document
from compiler.spec.models import Member
from compiler.spec.place import Place
from compiler.spec.resolve import resolve
from compiler.spec.root import find_root
from compiler.spec.shop import ShopFile
from compiler.spec.tree import Scalar, Table, is_expression, walk


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A job, setup by setup, and what it was read from.

    `findings` are warnings; `origins` tells what stands behind the values of a family's member;
    `files` has the sha256 of every file that was read, by its name for people.
    """

    jobs: tuple[Job, ...]  # one for each setup, in order
    document: Document
    tree: Table
    shop: ShopFile
    findings: tuple[Diagnostic, ...] = ()
    sources: Mapping[str, str]
    origins: Origins = field(default_factory=Origins)
    files: Mapping[str, str] = field(default_factory=dict)

    @property
    def job(self) -> Job:
        """The job's first setup, mostly its only one."""
        return self.jobs[0]


@dataclass(frozen=True, slots=True)
class Reading(Outcome[Loaded]):
    """An outcome that also keeps the texts that were read, by the names that spans use."""

    sources: Mapping[str, str] = field(default_factory=dict)


def load_job(path: Path, root: Path | None = None, member: str = "") -> Reading:
    """Read, validate and resolve a job.

    Args:
        path: The job file, or a family file.
        root: Nothing outside it is read; default the git work tree, else the job's folder.
        member: In a family file, the name of the member in its table.

    Any bytes at all in the files give findings (E0, E1, E2, E3, E601 to E607, E8), not exceptions.
    """
    root = (find_root(path) if root is None else root).resolve()
    found = first_file(path, root)
    if found.value is None:
        return Reading(None, found.findings)
    trip = _Trip(root)
    loaded = _load(found.value, member, trip)
    findings = trip.origins.explain(in_order(trip.findings))
    if loaded is not None:
        loaded = None if has_errors(findings) else replace(loaded, findings=findings)
    return Reading(loaded, findings, MappingProxyType(trip.sources))


@dataclass(slots=True)
class _Trip:
    """What gathers while one job is read."""

    root: Path
    findings: list[Diagnostic] = field(default_factory=list)
    sources: dict[str, str] = field(default_factory=dict)
    files: dict[str, str] = field(default_factory=dict)
    origins: Origins = field(default_factory=Origins)

    def saw(self, file: Found) -> None:
        """Keep a file's text for snippets, even where it is faulty, and its digest."""
        self.sources[file.name] = file.data.decode("utf-8", errors="replace").removeprefix("\ufeff")
        self.files[file.name] = file.digest


def _load(file: Found, member: str, trip: _Trip) -> Loaded | None:
    tree = _job_tree(file, member, trip)
    if tree is None:
        return None
    typed = as_job(tree)
    trip.findings += typed.findings
    document = typed.value
    assert not isinstance(document, Member)  # `_job_tree` has followed it
    units = document.units if document else "mm"
    linked = Linked(trip.root)
    place = Place(tree, units, trip.findings, linked=linked)
    shop = _shop(document, place, trip)
    if document is None or shop is None or has_errors(trip.findings):
        return None
    resolved = resolve(document, shop, place, file.name)
    trip.findings += linked.strays()
    if resolved.value is None:
        return None
    return Loaded(
        jobs=resolved.value,
        document=document,
        tree=tree,
        shop=shop,
        sources=MappingProxyType(dict(trip.sources)),
        origins=trip.origins,
        files=MappingProxyType({**trip.files, **linked.files}),
    )


def _job_tree(file: Found, member: str, trip: _Trip) -> Table | None:
    """The tree of a whole job: as it stands, or made from a family; None where that fails."""
    tree = _tree(file, trip)
    if tree is None:
        return None
    opened: list[Found] = []
    if _says(tree, "family/") or member:
        made = from_table(file, member, trip.root, opened)
    elif _says(tree, "job/") and "from" in tree.entries:
        typed = as_job(tree)
        trip.findings += typed.findings
        if has_errors(typed.findings):
            return None
        made = from_file(tree, file, trip.root, opened)
    elif "parameters" in tree.entries or any(is_expression(node) for _, node in walk(tree)):
        trip.findings += as_job(tree).findings
        if has_errors(trip.findings):
            return None
        made = plain_job(tree)
    else:
        return tree
    for found in opened:
        trip.saw(found)
    trip.origins = made.origins
    trip.findings += made.findings
    return made.tree


def _says(tree: Table, language: str) -> bool:
    node = tree.get("spec")
    return isinstance(node, Scalar) and str(node.value).startswith(language)


def _shop(document: Document | None, place: Place, trip: _Trip) -> ShopFile | None:
    """The shop file that a job names; an empty one where it names none; None where it is faulty."""
    if document is None or document.shop is None:
        return ShopFile()
    where = place / "shop"
    # relative to the file that names it, which may be the family's
    by = trip.root / where.span.file
    found = named_file(document.shop, by, trip.root, where.span, where.text)
    trip.findings += found.findings
    if found.value is None:
        return None
    tree = _tree(found.value, trip)
    if tree is None:
        return None
    typed = as_shop(tree)
    trip.findings += typed.findings
    return None if typed.value is None else ShopFile.of(typed.value, tree)


def _tree(file: Found, trip: _Trip) -> Table | None:
    """The tree of a file; its text is kept for snippets even where it is faulty."""
    trip.saw(file)
    read = parsed(file.data, file.name)
    trip.findings += read.findings
    return None if has_errors(read.findings) else read.value
