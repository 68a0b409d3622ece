"""Small families written into a folder, and their findings read back."""

from __future__ import annotations

from pathlib import Path

from compiler.diagnostics.render import RENDERERS
from compiler.spec.load import Reading, load_job

FAMILY = """\
spec: family/1
name: finder ring
title: Finder ring
parameters:
  tube: {length: 40 mm, min: 25 mm, max: 60 mm}
  wall: {value: "${ tube / 8 }"}
  deep: {choice: shallow, of: [shallow, deep]}
checks:
  - {that: "${ tube / 2 + wall < 36 mm }", else: The ring would reach the stock's edge}
members:
  ring-32: {tube: 32 mm}
  ring-50: {tube: 50, deep: deep, title: Finder ring of 50}
job:
  units: mm
  machine: small_machining_centre
  material: aluminium_6061
  stock: {outline: {rectangle: {from: [-40, -40], to: [40, 40]}}, thickness: 20}
  keep_regions:
    ring:
      circle: {centre: [0, 0], radius: "${ tube / 2 + wall }"}
  tools: {T1: {end_mill: {diameter: 8, flutes: 3, flute_length: 20, stickout: 28}}}
  passes:
    - rough: {tool: T1, to: "${ -6 mm if deep == 'deep' else -3 mm }", radial_depth: 40%}
    - finish_walls: {name: finish, tool: T1}
"""
MEMBER = """\
spec: job/1
name: ring-40
from: families/ring.yaml
"""


def machine() -> str:
    """A machine that is built in; the families here need no shop."""
    from compiler.knowledge.machines import MACHINES

    return next(iter(MACHINES))


def write(folder: Path, *, family: str = FAMILY, member: str = MEMBER) -> Path:
    """Both files; gives the member's."""
    (folder / "families").mkdir(exist_ok=True)
    text = family.replace("small_machining_centre", machine())
    (folder / "families" / "ring.yaml").write_text(text, encoding="utf-8")
    path = folder / "ring-40.yaml"
    path.write_text(member, encoding="utf-8")
    return path


def loaded(folder: Path, *, family: str = FAMILY, more: str = "", name: str = "") -> Reading:
    """The member's job, `more` added to its file; or a member of the family's table."""
    path = write(folder, family=family, member=MEMBER + more)
    if name:
        return load_job(folder / "families" / "ring.yaml", folder, name)
    return load_job(path, folder)


def told(read: Reading) -> list[str]:
    """Every finding as `E811 families/ring.yaml:12:14`."""
    return [f"{f.code} {f.primary.span if f.primary else ''}" for f in read.findings]


def also(read: Reading, index: int = 0) -> list[str]:
    """The other places of a finding: `ring-40.yaml:4 `tube` is 30 mm`."""
    labels = read.findings[index].secondary
    return [f"{label.span.file}:{label.span.line} {label.text}" for label in labels]


def rendered(read: Reading) -> str:
    """The findings as a terminal shows them."""
    return RENDERERS["text"](read.findings, read.sources, colour=False)
