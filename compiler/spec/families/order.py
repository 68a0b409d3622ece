"""Parameters in the order in which they can be worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def in_order(needs: Mapping[str, Sequence[str]]) -> tuple[list[str], list[str]]:
    """Names, each after those of the others that it needs; and a circle that can't be put in order.

    Args:
        needs: What each needs; what is not a key here is there already.

    Returns:
        The order as far as there is one, and the first circle found, its first name again at its
        end; empty where there is none.
    """
    order: list[str] = []
    left = {name: [other for other in others if other in needs] for name, others in needs.items()}
    while left:
        ready = [name for name, others in left.items() if not any(o in left for o in others)]
        if not ready:
            return order, _circle(left)
        for name in ready:
            del left[name]
        order += ready
    return order, []


def _circle(left: Mapping[str, Sequence[str]]) -> list[str]:
    """From anywhere along what is needed, until a name comes again."""
    name = next(iter(left))
    seen: list[str] = []
    while name not in seen:
        seen.append(name)
        name = next(other for other in left[name] if other in left)
    return [*seen[seen.index(name) :], name]
