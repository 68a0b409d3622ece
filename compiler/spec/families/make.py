"""A job or a member of a family to the tree of a whole job: parameters bound, expressions worked
out, the override merged in. What comes out is validated and resolved like any job.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from compiler.diagnostics import Diagnostic, Label, has_errors
from compiler.spec.document import units_of, validated
from compiler.spec.families.checks import broken_checks, unused, used_in_checks_and_values
from compiler.spec.families.origins import Origins
from compiler.spec.families.override import Override
from compiler.spec.families.parameters import Binder
from compiler.spec.families.substitute import Substitution
from compiler.spec.fault import fault
from compiler.spec.models import Definitions
from compiler.spec.tree import Entry, Scalar, Table

HEAD = ("spec", "name", "title", "number", "revision", "notes")  # what a member says for itself
DEFINITIONS = ("parameters", "checks")


@dataclass(frozen=True, slots=True)
class Member:
    """What one member says: its head, its values and its changes, as nodes."""

    head: Sequence[Entry]
    given: Table
    override: Table | None
    made_at: Label
    path: str  # of its values, for messages: `with`, or its row in the family's table


@dataclass(frozen=True, slots=True)
class Made:
    """A whole job's tree and what stands behind its values; None where it could not be made."""

    tree: Table | None
    origins: Origins
    findings: tuple[Diagnostic, ...] = field(default=())


def plain_job(root: Table) -> Made:
    """A job with `parameters` of its own: its expressions worked out (E801 to E812)."""
    body = {key: entry for key, entry in root.entries.items() if key not in DEFINITIONS}
    return _made(root, Table(body, root.span), None, root.span.file)


def member_job(family: Table, member: Member) -> Made:
    """The job of a family's member (E801 to E813).

    Args:
        family: The family file's tree, already found well formed.
        member: What the member says.
    """
    job = family.get("job")
    assert isinstance(job, Table)
    entries = {entry.key: entry for entry in member.head}
    for key in HEAD:
        own = job.entries.get(key) or (family.entries.get(key) if key == "title" else None)
        if key not in entries and own is not None:
            entries[key] = own
    misplaced = tuple(_misplaced(job.entries[key]) for key in DEFINITIONS if key in job.entries)
    if misplaced:
        return Made(None, Origins(), misplaced)
    body = {key: entry for key, entry in job.entries.items() if key not in HEAD}
    return _made(family, Table({**entries, **body}, job.span), member, family.span.file)


def _made(root: Table, body: Table, member: Member | None, file: str) -> Made:
    """The body with its expressions worked out, by the parameters that the root declares."""
    units = units_of(body)
    nothing = Table({}, root.span)
    parameters = root.get("parameters") or nothing
    own = {key: entry for key, entry in root.entries.items() if key in DEFINITIONS}
    typed = validated(Table(own, root.span), Definitions, units)
    if typed.value is None or not isinstance(parameters, Table):
        return Made(None, Origins(), typed.findings)
    given = nothing if member is None else member.given
    path = "" if member is None else member.path
    binder = Binder(typed.value.parameters, parameters, given, units, path)
    scope = binder.scope()
    findings = [*typed.findings, *binder.findings]
    checks = root.get("checks")
    texts = [check.else_ for check in typed.value.checks]
    findings += broken_checks(checks, scope, texts)
    work = Substitution(scope)
    tree = work.table(body)
    if member is not None and member.override is not None:
        patch = work.table(member.override, ("override",))
        merge = Override()
        tree = merge.apply(tree, patch)
        findings += merge.findings
    findings += work.findings
    findings += unused(parameters, work.used | used_in_checks_and_values(parameters, checks))
    files = frozenset() if member is None else frozenset({file})
    origins = Origins(work.set_by, None if member is None else member.made_at, files)
    return Made(None if has_errors(findings) else tree, origins, origins.explain(findings))


def _misplaced(entry: Entry) -> Diagnostic:
    return fault(
        "E808",
        entry.key_span,
        f"`{entry.key}` stand beside a family's `job`, not in it",
        "move them out one level, so that members can set them",
        path=f"job.{entry.key}",
    )


def word(text: str, like: Entry) -> Scalar:
    """A piece of text that stands where an entry's key does."""
    return Scalar(text, text, True, like.key_span)
