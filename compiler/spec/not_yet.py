"""What the language has and this version can't do yet: refused by name, where it stands.

One small function for each, so that later work replaces it without touching anything else.
"""

from __future__ import annotations

from compiler.spec.tree import Scalar


def is_expression(node: object) -> bool:
    """Whether a node is text that holds `${ ... }`."""
    return isinstance(node, Scalar) and isinstance(node.value, str) and "${" in node.value
