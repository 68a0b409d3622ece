"""No more than a screenful of one kind: the first findings of each code, and how many follow."""

from collections import Counter
from collections.abc import Iterable

from compiler.diagnostics.model import Diagnostic, Severity

MOST = 20  # of one code


def bounded(
    findings: Iterable[Diagnostic],
) -> tuple[tuple[Diagnostic, ...], dict[str, int]]:
    """The findings to show, in order, and by code how many more there are."""
    seen: Counter[str] = Counter()
    shown = []
    for found in findings:
        seen[found.code] += 1
        if seen[found.code] <= MOST:
            shown.append(found)
    return tuple(shown), {code: count - MOST for code, count in seen.items() if count > MOST}


def counts(findings: Iterable[Diagnostic]) -> dict[Severity, int]:
    """How many findings of each severity there are, heaviest first."""
    found = Counter(each.severity for each in findings)
    return {severity: found[severity] for severity in Severity}
