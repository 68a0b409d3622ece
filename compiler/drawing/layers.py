"""Which line work a job asks for: layers by name or pattern."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from fnmatch import fnmatchcase

from compiler.diagnostics import Diagnostic, Outcome, Severity
from compiler.drawing.model import Drawing, Fault
from compiler.drawing.voice import Voice

MOST_TOLD = 6  # faults of one kind that are told one by one


def chosen_layers(
    drawing: Drawing, asked: Sequence[str] | None, voice: Voice
) -> Outcome[tuple[str, ...]]:
    """The names of the shown layers that are asked for; all shown ones where nothing is.

    Names are compared without regard to case, as drawings do; `*` and `?` stand for any run of
    characters and any one. Errors: E704 for a name that no layer has, or only hidden ones.
    """
    shown = [layer.name for layer in drawing.layers if layer.shown == "shown"]
    if asked is None:
        return Outcome(tuple(shown))
    chosen: list[str] = []
    findings: list[Diagnostic] = []
    for name in asked:
        fits = [layer for layer in drawing.layers if fits_name(layer.name, name)]
        if not fits:
            findings.append(_unknown(drawing, name, voice))
            continue
        seen = [layer.name for layer in fits if layer.shown == "shown"]
        if not seen:
            findings.append(
                voice.finding(
                    "E704",
                    f"the layer `{fits[0].name}` is {fits[0].shown} in the drawing",
                    help="make it visible in the drawing, or choose a layer that is: "
                    + _listed(shown),
                )
            )
        chosen += seen
    if findings:
        return Outcome(None, tuple(findings))
    return Outcome(tuple(dict.fromkeys(chosen)))


def fits_name(name: str, asked: str) -> bool:
    """Whether a layer's name is the one asked for, or of the pattern."""
    # brackets are plain characters here, and common in layer names
    return fnmatchcase(name.casefold(), asked.casefold().replace("[", "[[]"))


def _unknown(drawing: Drawing, name: str, voice: Voice) -> Diagnostic:
    names = [layer.name for layer in drawing.layers if layer.count]
    near = difflib.get_close_matches(name, [layer.name for layer in drawing.layers], n=1)
    guess = f"did you mean `{near[0]}`? " if near else ""
    return voice.finding(
        "E704",
        f"the drawing `{voice.name}` has no layer `{name}`",
        help=guess + "layers with lines and arcs: " + _listed(names),
    )


def _listed(names: Sequence[str]) -> str:
    if not names:
        return "none"
    more = f" and {len(names) - 12} more" if len(names) > 12 else ""
    return ", ".join(f"`{name}`" for name in names[:12]) + more


def faults_of(
    drawing: Drawing,
    layers: Sequence[str],
    voice: Voice,
    severity: Severity = Severity.ERROR,
) -> list[Diagnostic]:
    """Findings for entities on these layers that cannot be used as they are drawn."""
    by_code: dict[str, list[Fault]] = {}
    for fault in drawing.faults:
        if fault.layer in layers:
            by_code.setdefault(fault.code, []).append(fault)
    findings = []
    for code, faults in sorted(by_code.items()):
        for fault in faults[:MOST_TOLD]:
            left = len(faults) - MOST_TOLD
            notes = (
                (f"and {left} more of this kind",)
                if left > 0 and fault is faults[MOST_TOLD - 1]
                else ()
            )
            findings.append(
                voice.finding(
                    code,
                    f"{fault.message}, on layer `{fault.layer}`",
                    help=fault.help,
                    severity=severity,
                    notes=notes,
                )
            )
    return findings
