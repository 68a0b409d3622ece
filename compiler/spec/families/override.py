"""`override`: an RFC 7396 merge patch on located nodes.

Mappings merge by key, null takes a key away, everything else is replaced whole. One thing is
added: a list of passes may be patched by a mapping from the names of passes, and that of setups by
one from the names of setups.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from compiler.diagnostics import Diagnostic, Label
from compiler.spec.errors import did_you_mean, listed
from compiler.spec.fault import fault
from compiler.spec.tree import Entry, Items, Node, Path, Scalar, Table, path_text

SETUPS: Path = ("setups",)
# what a member says in keys of its own, and what gives all bare numbers their meaning
_FIXED = {
    "spec": "leave it out; a member begins with `spec: job/1`",
    "name": "use the member's own key `name`",
    "units": "bare numbers are in the family's units; give values their own, as `6 mm`",
    "parameters": "set parameters in `with`",
    "checks": "checks belong to the family",
    "from": "use the member's own key `from`",
}


@dataclass(slots=True)
class Override:
    """Merges one patch; `findings` are what it could not reach (E813)."""

    findings: list[Diagnostic] = field(default_factory=list)

    def apply(self, job: Table, patch: Table) -> Table:
        """The job with the patch merged in."""
        for key, help in _FIXED.items():
            entry = patch.entries.get(key)
            if entry is not None:
                self._report(entry, ("override", key), f"`{key}` can't be overridden", help)
        merged = self._merge(job, patch, ())
        assert isinstance(merged, Table)
        return merged

    def _merge(self, target: Node | None, patch: Node, path: Path) -> Node:
        if not isinstance(patch, Table):
            return patch
        if isinstance(target, Items) and _holds_passes(path):
            return self._passes(target, patch, path)
        if isinstance(target, Items) and path == SETUPS:
            return self._setups(target, patch)
        entries = dict(target.entries) if isinstance(target, Table) else {}
        for key, new in patch.entries.items():
            old = entries.pop(key, None) if _is_null(new.node) else entries.get(key)
            if _is_null(new.node):
                if old is None:
                    self._report_missing(new, (*path, key), target)
                continue
            node = self._merge(None if old is None else old.node, new.node, (*path, key))
            # a mapping that was added to stays where its key stands; a new value brings its own
            kept = old is not None and isinstance(node, Table) and isinstance(old.node, Table)
            entries[key] = Entry(key, old.key_span if kept and old else new.key_span, node)
        return Table(entries, target.span if isinstance(target, Table) else patch.span)

    def _setups(self, target: Items, patch: Table) -> Node:
        """Each key is the name of a setup, and changes or removes that one."""
        nodes: list[Node | None] = list(target.nodes)
        names = [_name_of(node) for node in target.nodes]
        for name, entry in patch.entries.items():
            if name not in names:
                self._report_unknown(entry, ("override", "setups", name), "setup", names, target)
                continue
            index = names.index(name)
            old = nodes[index]
            merged = self._merge(old, entry.node, (*SETUPS, name))
            nodes[index] = None if _is_null(entry.node) else merged
        return Items(tuple(node for node in nodes if node is not None), target.span)

    def _passes(self, target: Items, patch: Table, path: Path) -> Node:
        """Each key is the name of a pass, and changes or removes that one."""
        nodes: list[Node | None] = list(target.nodes)
        names = pass_names(target)
        for name, entry in patch.entries.items():
            if name not in names:
                self._report_unknown(entry, ("override", *path, name), "pass", names, target)
                continue
            index = names.index(name)
            nodes[index] = self._one_pass(nodes[index], entry, (*path, name))
        return Items(tuple(node for node in nodes if node is not None), target.span)

    def _one_pass(self, node: Node | None, new: Entry, path: Path) -> Node | None:
        if _is_null(new.node):
            return None
        if not isinstance(node, Table) or not isinstance(new.node, Table):
            self._report(
                new,
                ("override", *path),
                "a pass is changed by keys and values",
                "write `{spring_passes: 1}`, or `null` to leave the pass out",
            )
            return node
        ((kind, entry),) = node.entries.items()
        merged = self._merge(entry.node, new.node, path)
        return Table({kind: Entry(kind, entry.key_span, merged)}, node.span)

    def _report_unknown(
        self, entry: Entry, path: Path, what: str, names: list[str], target: Items
    ) -> None:
        many = {"pass": "passes", "setup": "setups"}[what]
        name = str(path[-1])
        self._report(
            entry,
            path,
            f"there is no {what} `{name}`",
            f"{did_you_mean(name, names)}{many} are {listed(names)}",
            Label(target.span, "these"),
        )

    def _report_missing(self, new: Entry, path: Path, target: Node | None) -> None:
        known = list(target.entries) if isinstance(target, Table) else []
        there = f"keys there are {listed(known)}" if known else "there is nothing there"
        self._report(
            new,
            ("override", *path),
            f"there is no `{path_text(path)}` to take away",
            f"{did_you_mean(str(path[-1]), known)}{there}",
        )

    def _report(self, entry: Entry, path: Path, message: str, help: str, *also: Label) -> None:
        self.findings.append(
            fault("E813", entry.key_span, message, help, path=path_text(path), also=also)
        )


def _holds_passes(path: Path) -> bool:
    return path == ("passes",) or (path[:1] == SETUPS and len(path) == 3 and path[2] == "passes")


def _name_of(node: Node) -> str:
    own = node.get("name") if isinstance(node, Table) else None
    return own.text if isinstance(own, Scalar) else ""


def pass_names(passes: Items) -> list[str]:
    """Names as `spec.passes` gives them: the pass's own, else its kind and number of its kind."""
    counts: dict[str, int] = {}
    names: list[str] = []
    for node in passes.nodes:
        if not isinstance(node, Table) or len(node.entries) != 1:
            names.append("")
            continue
        ((kind, entry),) = node.entries.items()
        counts[kind] = counts.get(kind, 0) + 1
        own = entry.node.get("name") if isinstance(entry.node, Table) else None
        given = own.text if isinstance(own, Scalar) else ""
        names.append(given or f"{kind} {counts[kind]}")
    return names


def _is_null(node: Node) -> bool:
    return isinstance(node, Scalar) and node.value is None
