"""The folder outside which a spec may name nothing. Quick to import: every command asks."""

from pathlib import Path


def find_root(spec: Path) -> Path:
    """The git work tree that holds a spec, else the spec's own folder."""
    folder = spec.resolve().parent
    for candidate in (folder, *folder.parents):
        if (candidate / ".git").exists():
            return candidate
    return folder
