"""The resolved job as a tree for people: every value as text, and what set it.

References are written out in place: the shop's machine, material and cutters stand where the job
named them. Values keep the author's own spelling; a bare number from a file in other units gets
its unit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pydantic import BaseModel

from compiler.diagnostics import Span
from compiler.job import AUTO, Job, Machine, Tool
from compiler.spec import builtin
from compiler.spec.families.origins import Origins
from compiler.spec.load import Loaded
from compiler.spec.models.amounts import Amount, InLength
from compiler.spec.models.base import attribute
from compiler.spec.tree import Items, Node, Scalar, Table
from compiler.units import number
from compiler.units.number import Units

DEFAULT = "default"
BUILT_IN = "built in"
FROM_NAME = "from the tool's name"
CHOSEN = "chosen from the crib"


@dataclass(frozen=True, slots=True)
class Leaf:
    """One value and what set it: `file:line`, or words."""

    value: str | int | float | bool
    text: str  # as it is written; numbers keep their spelling
    set_by: str
    typed: object = None  # what it means, where a file said it: an `Amount`, a number, a word


Tree = Leaf | list["Tree"] | dict[str, "Tree"]
Branch = dict[str, Tree]


@dataclass(frozen=True, slots=True)
class View:
    """How values of one file are shown: its bare numbers get a unit where the job has others."""

    own: Units
    shown: Units
    origins: Origins

    def tree(self, node: Node, typed: object) -> Tree:
        """A node with its typed value beside it, which tells what kind of quantity it is."""
        match node:
            case Table(entries):
                return {
                    key: self.tree(entry.node, _inside(typed, key))
                    for key, entry in entries.items()
                }
            case Items(nodes):
                return [self.tree(item, _inside(typed, i)) for i, item in enumerate(nodes)]
            case Scalar():
                return self.leaf(node, typed)

    @staticmethod
    def inside(typed: object, step: str | int) -> object:
        """The typed value under a key or index; None where types do not follow the text."""
        return _inside(typed, step)

    def leaf(self, node: Scalar, typed: object) -> Leaf:
        """One value in its own spelling, a unit added where it would otherwise change meaning."""
        set_by = _line(node.span, self.origins)
        value = "" if node.value is None else node.value
        if self.own != self.shown and isinstance(typed, Amount):
            unit = typed.measure.bare[self.own]
            if unit and re.fullmatch(r"[-+0-9./]+", node.text):
                text = f"{node.text} {unit}"
                return Leaf(text, text, set_by, typed)
        return Leaf(value, node.text, set_by, typed)


def resolved(loaded: Loaded) -> Branch:
    """The job as it is compiled, references written out and the defaults that mattered shown."""
    units = loaded.document.units
    own = View(units, units, loaded.origins)
    tree = own.tree(loaded.tree, loaded.document)
    assert isinstance(tree, dict)
    tree.pop("shop", None)
    shop = View(loaded.shop.units, units, loaded.origins)
    tree["machine"] = _machine(loaded, tree["machine"], shop, loaded.job.machine)
    for job, said in _setups(loaded, tree):
        if "machine" in said:
            said["machine"] = _machine(loaded, said["machine"], shop, job.machine)
    tree["material"] = _material(loaded, tree["material"], shop)
    said = _branch(tree, "tools")
    used = {tool.name: tool for job in loaded.jobs for tool in job.tools}
    tree["tools"] = {name: _tool(loaded, tool, said, shop) for name, tool in used.items()}
    for job, setup in _setups(loaded, tree) or ((loaded.job, tree),):
        _show_choices(job, setup)
    _show_defaults(loaded, tree)
    return tree


def _machine(loaded: Loaded, said: Tree, view: View, means: Machine) -> Tree:
    if not isinstance(said, Leaf):
        return said
    name = str(said.value)
    if name in loaded.shop.machines:
        return {"name": said, **_from_shop(loaded, "machines", name, view)}
    return {"name": said, **_built_in(builtin.machine(means))}


def _material(loaded: Loaded, said: Tree, view: View) -> Tree:
    if not isinstance(said, Leaf):
        return said
    name = str(said.value)
    if name in loaded.shop.materials:
        return {"name": said, **_from_shop(loaded, "materials", name, view)}
    material = loaded.job.material
    found = _built_in(builtin.material(material))
    for key, source in material.sources.items():
        outer, _, inner = key.partition(".")
        branch = _branch(found, outer) if inner else found
        key = inner or outer
        if key in branch:
            branch[key] = _set_by(branch[key], f"{BUILT_IN}: {source}")
    return {"name": said, **found}


def _set_by(tree: Tree, words: str) -> Tree:
    """The same values, told to be set by something else."""
    match tree:
        case Leaf():
            return replace(tree, set_by=words)
        case list():
            return [_set_by(item, words) for item in tree]
        case dict():
            return {key: _set_by(item, words) for key, item in tree.items()}


def _from_shop(loaded: Loaded, group: str, name: str, view: View) -> Branch:
    assert loaded.shop.tree is not None
    table = loaded.shop.tree.get(group)
    node = table.get(name) if isinstance(table, Table) else None
    assert node is not None
    tree = view.tree(node, getattr(loaded.shop, group)[name])
    assert isinstance(tree, dict)
    return {key: value for key, value in tree.items() if key != "name"}


def _show_choices(job: Job, tree: Branch) -> None:
    """The cutters that were chosen, in place of `auto`."""
    passes = tree["passes"]
    assert isinstance(passes, list)
    for item, asked in zip(passes, job.passes, strict=True):
        assert isinstance(item, dict)
        keys = _branch(item, asked.kind)
        said = keys["tool"]
        if isinstance(said, Leaf) and said.value == AUTO and not asked.is_open:
            keys["tool"] = Leaf(asked.tool, asked.tool, f"{CHOSEN}, {said.set_by}")


def _tool(loaded: Loaded, tool: Tool, said: Branch, view: View) -> Branch:
    """A tool with its cutter written out, its numbers, and the dimensions that were defaults."""
    name = tool.name
    written = said.get(name, {})
    assert isinstance(written, dict)
    own = {key: value for key, value in written.items() if key != "crib"}
    base = _from_shop(loaded, "crib", tool.crib, view) if tool.crib else {}
    both: Branch = {**base, **own}
    for key in ("number", "length_offset", "diameter_offset"):
        value = int(getattr(tool, key))
        found = both.get(key)
        if not (isinstance(found, Leaf) and found.value == value):
            named = key == "number" and name.lower().lstrip("t0") == str(value)
            both[key] = Leaf(value, str(value), FROM_NAME if named else DEFAULT)
    cutter = both[tool.kind]
    assert isinstance(cutter, dict)
    both[tool.kind] = {**cutter, **_cutter_defaults(tool, cutter, loaded.document.units)}
    return both


def _cutter_defaults(tool: Tool, said: Mapping[str, Tree], units: Units) -> Branch:
    lengths = ("flute_length", "stickout", "shank_diameter")
    found: Branch = {key: _length(getattr(tool, key), units) for key in lengths if key not in said}
    if "material" not in said:
        found["material"] = Leaf(tool.material, tool.material, DEFAULT)
    if "centre_cutting" not in said:
        cuts = tool.centre_cutting
        found["centre_cutting"] = Leaf(cuts, "true" if cuts else "false", DEFAULT)
    return found


def _show_defaults(loaded: Loaded, tree: Branch) -> None:
    """The defaults of the job itself that steer the cutter, those of each setup in its place."""
    units = loaded.document.units
    stock = _branch(tree, "stock")
    stock.setdefault("top", _length(loaded.job.stock.top, units))
    setups = _setups(loaded, tree)
    for job, said in setups or ((loaded.job, tree),):
        _show_setting(job, said, units)


def _setups(loaded: Loaded, tree: Branch) -> tuple[tuple[Job, Branch], ...]:
    """Each setup with what was said of it; none where a job has but one."""
    said = tree.get("setups", [])
    assert isinstance(said, list)
    both = zip(loaded.jobs, said, strict=False)
    return tuple((job, each) for job, each in both if isinstance(each, dict))


def _show_setting(job: Job, tree: Branch, units: Units) -> None:
    datum = _branch(tree, "datum")
    datum.setdefault("at", [_length(0.0, units), _length(0.0, units)])
    datum.setdefault("work_offset", Leaf(job.datum.work_offset, job.datum.work_offset, DEFAULT))
    heights = _branch(tree, "heights")
    heights.setdefault("clearance", _length(job.heights.clearance, units))
    heights.setdefault("approach", _length(job.heights.approach, units))
    if job.setup is not None and job.setup.number > 1:
        tree.setdefault("top", _length(job.stock.top, units))
    if not job.keep_regions:
        return
    regions = _branch(tree, "keep_regions")
    for region in job.keep_regions:
        _branch(regions, region.name).setdefault("top", _length(region.top, units))


def _branch(tree: Branch, key: str) -> Branch:
    found = tree.setdefault(key, {})
    assert isinstance(found, dict)
    return found


def _length(mm: float, units: Units) -> Leaf:
    text = number.short(number.in_units(mm, units), 8)
    return Leaf(float(text), text, DEFAULT, InLength(mm))


def _built_in(value: object) -> Branch:
    tree = _plain(value)
    assert isinstance(tree, dict)
    return tree


def _plain(value: object) -> Tree:
    match value:
        case dict():
            return {str(key): _plain(item) for key, item in value.items()}
        case list():
            return [_plain(item) for item in value]
        case bool():
            return Leaf(value, "true" if value else "false", BUILT_IN)
        case int() | float() | str():
            return Leaf(value, str(value), BUILT_IN)
        case _:
            raise TypeError(f"{type(value).__name__} has no place in a spec")


def _inside(typed: object, step: str | int) -> object:
    """The typed value under a key or index; None where the types do not follow the text."""
    match typed:
        case BaseModel() if isinstance(step, str):
            return getattr(typed, attribute(step), None)
        case Mapping():
            return typed.get(step)
        case tuple() if isinstance(step, int) and step < len(typed):
            item: object = typed[step]
            return item
        case _:
            return None


def _line(span: Span, origins: Origins) -> str:
    """Where a value stands, and for one that was worked out, where its parameters were set."""
    words = origins.words(span)
    return f"{span.file}:{span.line}" + (f" ({words})" if words else "")
