"""What the language has and this version can't do yet: refused by name, where it stands.

One small function for each, so that later work replaces it without touching anything else.
"""

from __future__ import annotations

from compiler.diagnostics import Diagnostic, Span
from compiler.spec.fault import fault
from compiler.spec.tree import Scalar, Table, path_text, walk


def model(span: Span, path: str) -> Diagnostic:
    """E211: an outline from a solid model."""
    return fault(
        "E211",
        span,
        "this version does not yet read models",
        "write the shape with `circle`, `rectangle`, `slot`, `polygon` or `outline`",
        path=path,
    )


def family(span: Span) -> Diagnostic:
    """E212: a member of a family."""
    return fault(
        "E212",
        span,
        "this version does not yet expand families",
        "write the job out: copy the family's `job` and put the values in",
        path="from",
    )


def expressions(root: Table) -> tuple[Diagnostic, ...]:
    """E213: every `${ ... }` of a job, and its parameters."""
    found = []
    parameters = root.entries.get("parameters")
    if parameters is not None:
        found.append(_expression(parameters.key_span, "parameters"))
    for path, node in walk(root):
        if is_expression(node):
            found.append(_expression(node.span, path_text(path)))
    return tuple(found)


def is_expression(node: object) -> bool:
    """Whether a node is text that holds `${ ... }`."""
    return isinstance(node, Scalar) and isinstance(node.value, str) and "${" in node.value


def _expression(span: Span, path: str) -> Diagnostic:
    return fault(
        "E213",
        span,
        "this version does not yet work out expressions",
        "write the value itself, as `12.7` or `0.5 in`",
        path=path,
    )
