"""What files hold, by digest: how outputs are told from files that somebody has changed."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any


def digest(data: bytes) -> str:
    """sha256, hex."""
    return hashlib.sha256(data).hexdigest()


def digest_of(path: Path) -> str | None:
    """The digest of a file; None where it can't be read."""
    try:
        return digest(path.read_bytes())
    except OSError:
        return None


def listed_in(report: Mapping[str, Any]) -> dict[str, str] | None:
    """The outputs that a report lists, with their digests; None where it lists none.

    A name must be a plain name: the list may have been edited, and leads nowhere else.
    """
    outputs = report.get("outputs")
    if not isinstance(outputs, dict):
        return None
    return {
        name: was
        for name, was in outputs.items()
        if isinstance(was, str) and Path(name).name == name
    }
