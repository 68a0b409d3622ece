"""The line that tells an editor which schema a spec follows."""

from __future__ import annotations

import os
from pathlib import Path

from compiler.spec.root import find_root

SCHEMAS = "schemas"  # the folder at the project's root that `schema --write` is given


def modeline(spec: Path, language: str = "job") -> str:
    """`# yaml-language-server: $schema=../schemas/job.schema.json`, with its line end.

    Nothing where the project has no such file, as one that `schema --write` was never given.

    Args:
        spec: Where the spec will stand.
        language: job, shop or family.
    """
    schema = find_root(spec) / SCHEMAS / f"{language}.schema.json"
    if not schema.is_file():
        return ""
    path = Path(os.path.relpath(schema, spec.resolve().parent)).as_posix()
    return f"# yaml-language-server: $schema={path}\n"
