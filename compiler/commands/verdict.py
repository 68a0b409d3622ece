"""What the last line says beside `good` or `proven`: what stays uncut must not be overread."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.diagnostics import Diagnostic
from compiler.units.number import counted

FORESEEN, FOUND, BEHIND = "W451", "W518", "W315"


def uncut_words(findings: Iterable[Diagnostic]) -> str:
    """As `, with 7 places left uncut, 4 of them at obstacles`; empty where nothing is left."""
    found = list(findings)
    told = [dict(each.data) for each in found if each.code in (FORESEEN, FOUND)]
    places = sum(int(float(data.get("places", 0))) for data in told)
    at_obstacles = sum(int(float(data.get("at_obstacles", 0))) for data in told)
    if places and at_obstacles == places:
        return f", with {counted(places, 'place')} at obstacles left uncut"
    walls = sum(each.code == BEHIND for each in found)
    parts = []
    if places:
        others = f", {at_obstacles} of them at obstacles" if at_obstacles else ""
        parts.append(f"{counted(places, 'place')} left uncut{others}")
    if walls and not at_obstacles:
        parts.append(f"{counted(walls, 'wall')} that obstacles keep the cutter from")
    return f", with {' and '.join(parts)}" if parts else ""
