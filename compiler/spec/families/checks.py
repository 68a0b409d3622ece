"""What must hold of the parameters, and which of them do nothing."""

from __future__ import annotations

from collections.abc import Collection

from compiler.diagnostics import Diagnostic, Severity
from compiler.spec.families.evaluate import say
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.scope import Scope
from compiler.spec.families.text import refused, used_names, value_of
from compiler.spec.fault import fault
from compiler.spec.tree import Items, Node, Scalar, Table


def broken_checks(checks: Node | None, scope: Scope, texts: Collection[str]) -> list[Diagnostic]:
    """Checks that do not hold (E812), and those that say nothing (E803 to E805).

    Args:
        checks: The list as written.
        scope: The parameters' values.
        texts: What to tell for each, its `else`.
    """
    found: list[Diagnostic] = []
    nodes = checks.nodes if isinstance(checks, Items) else ()
    for i, (item, text) in enumerate(zip(nodes, texts, strict=True)):
        that = item.get("that") if isinstance(item, Table) else None
        if isinstance(that, Scalar):
            found += _check(that, scope, text, f"checks[{i}].that")
    return found


def _check(that: Scalar, scope: Scope, text: str, path: str) -> list[Diagnostic]:
    if any(name in scope.names and name not in scope.bound for name in used_names(that.text)):
        return []  # a parameter that it needs has no value, which has been told
    also = scope.labels(that.text)
    try:
        value = value_of(that, scope.values)
    except RefusalError as error:
        return [refused(error, that, path, also)]
    if value is True:
        return []
    if value is not False:
        message = f"a check must be true or false, this is {say(value)}"
        return [
            fault("E804", that.span, message, "compare, as `tube < 4 in`", path=path, also=also)
        ]
    shown = text[:1].lower() + text[1:].rstrip(".") if text[1:2].islower() else text
    help = "change a parameter so that the check holds"
    return [fault("E812", that.span, shown, help, path=path, also=also)]


def used_in_checks_and_values(parameters: Table, checks: Node | None) -> set[str]:
    """Names that parameters with `value` and checks use."""
    texts: list[str] = []
    for entry in parameters.entries.values():
        node = entry.node.get("value") if isinstance(entry.node, Table) else None
        if isinstance(node, Scalar):
            texts.append(node.text)
    for item in getattr(checks, "nodes", ()):
        node = item.get("that") if isinstance(item, Table) else None
        if isinstance(node, Scalar):
            texts.append(node.text)
    return {name for text in texts for name in used_names(text)}


def unused(parameters: Table, used: Collection[str]) -> list[Diagnostic]:
    """Parameters that nothing uses (W801)."""
    return [
        fault(
            "W801",
            entry.key_span,
            f"nothing uses the parameter `{name}`",
            "use it in the job as `${ " + name + " }`, or take it out",
            path=f"parameters.{name}",
            severity=Severity.WARNING,
        )
        for name, entry in parameters.entries.items()
        if name not in used
    ]
