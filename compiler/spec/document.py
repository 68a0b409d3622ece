"""A located tree to a typed document: which language it is, then every key and value at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from pydantic import ValidationError

from compiler.diagnostics import Diagnostic, Outcome
from compiler.spec.errors import STRUCTURE, did_you_mean, findings
from compiler.spec.fault import fault
from compiler.spec.models import Family, Job, Member, Shop
from compiler.spec.models.base import Model
from compiler.spec.source import describe, shorten
from compiler.spec.tree import (
    Node,
    Path,
    Scalar,
    Table,
    first_line,
    is_expression,
    path_text,
    plain,
    walk,
)
from compiler.units.number import Units

LANGUAGES = {"job": "a job", "shop": "a shop file", "family": "a family"}

M = TypeVar("M", bound=Model)


def as_job(root: Table) -> Outcome[Job | Member]:
    """The typed job, or the typed member of a family where it has the key `from`."""
    wrong = _language(root, "job")
    if wrong is not None:
        return Outcome(None, (wrong,))
    if "from" in root.entries:
        member = validated(root, Member, "mm")
        return Outcome(member.value, member.findings)
    job = validated(root, Job, units_of(root))
    return Outcome(job.value, job.findings)


def as_shop(root: Table) -> Outcome[Shop]:
    """The typed shop file."""
    wrong = _language(root, "shop")
    if wrong is not None:
        return Outcome(None, (wrong,))
    return validated(root, Shop, units_of(root))


def as_family(root: Table) -> Outcome[Family]:
    """The typed family file, its job checked as far as that can be done before a member is made."""
    wrong = _language(root, "family")
    if wrong is not None:
        return Outcome(None, (wrong,))
    job = root.get("job")
    units = units_of(job) if isinstance(job, Table) else "mm"
    family = validated(root, Family, units)
    if not isinstance(job, Table):
        return family
    body = _job_of_family(root, job, units)
    return Outcome(family.value if not body else None, (*family.findings, *body))


def units_of(root: Table) -> Units:
    """What a bare number means in this file; mm where `units` itself is at fault."""
    node = root.get("units")
    return "inch" if isinstance(node, Scalar) and node.value == "inch" else "mm"


def validated(root: Table, model: type[M], units: Units) -> Outcome[M]:
    """The tree as a model, or every fault in it.

    Values that are expressions are let pass; there is then no value, and perhaps no finding.
    """
    empty = _without_value(root)
    try:
        value = model.model_validate(plain(root), context={"units": units})
    except ValidationError as error:
        return Outcome(
            None, (*empty, *findings(error, root, model, let_pass=_told_elsewhere(root)))
        )
    return Outcome(None if empty else value, empty)


def _told_elsewhere(job: Table) -> Callable[[str, Node], bool]:
    """Which errors are told by another check: of values that are missing, of expressions.

    Parameters and checks stand outside: what they say must be typed before anything is worked out.
    """
    apart = ("parameters", "checks", "spec")
    expressions = {
        id(node)
        for path, node in walk(job)
        if path[:1] not in [(key,) for key in apart]
        if is_expression(node)
    }

    def told(kind: str, node: Node) -> bool:
        match node:
            case Scalar(value=None):
                return True
            case Table(entries) if kind in ("E110", "E111"):
                nodes = [entry.node for entry in entries.values()]
                return any(isinstance(item, Scalar) and item.value is None for item in nodes)
            case _:
                return id(node) in expressions and kind not in STRUCTURE

    return told


def _job_of_family(root: Table, job: Table, units: Units) -> tuple[Diagnostic, ...]:
    """Faults in the job inside a family. Its `spec` and `name` come from the member."""
    said = plain(job)
    assert isinstance(said, dict)
    try:
        Job.model_validate({"spec": "job/1", "name": "member", **said}, context={"units": units})
    except ValidationError as error:
        return findings(error, root, Job, ("job",), let_pass=_told_elsewhere(job))
    return ()


def _without_value(root: Table) -> tuple[Diagnostic, ...]:
    """Keys that nothing stands behind (E112); in `override`, null takes a key away."""
    return tuple(
        fault(
            "E112",
            first_line(root, path),
            f"`{shorten(str(path[-1]))}` has no value",
            "give it a value, or leave the line out",
            path=path_text(path),
        )
        for path, node in walk(root)
        if isinstance(node, Scalar) and node.value is None and not _in_override(path)
    )


def _in_override(path: Path) -> bool:
    return len(path) > 1 and path[0] == "override"


def _language(root: Table, wanted: str) -> Diagnostic | None:
    """What is wrong with the key `spec`, if anything (E104, E102)."""
    node = root.get("spec")
    if node is None:
        near = [key for key in root.entries if did_you_mean(key, ["spec"])]
        renamed = f"is `{near[0]}` meant for it? " if near else ""
        return fault(
            "E104",
            first_line(root, ()),
            "the key `spec` is missing",
            f"{renamed}begin with `spec: {wanted}/1`",
            path="spec",
        )
    said = node.value if isinstance(node, Scalar) else None
    if said == f"{wanted}/1":
        return None
    kind = str(said).split("/", maxsplit=1)[0]
    if kind in LANGUAGES and kind != wanted:
        message = f"this is {LANGUAGES[kind]}, not {LANGUAGES[wanted]}"
        help = f"name a file that says `spec: {wanted}/1`"
    elif kind == wanted:
        message = f"`{said}` is not a version that this program reads"
        help = f"write `spec: {wanted}/1`, the version that is known here"
    else:
        message = f"{describe(node)} is not a language of this program"
        help = f"write `spec: {wanted}/1`"
    return fault("E102", node.span, message, help, path="spec")
