"""What every command is: a name, its arguments, and a function that runs it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass

from compiler.commands.shell import Shell

GOOD = 0  # all is well
SHORT = 1  # the spec or its evidence falls short
UNABLE = 2  # the tool could not do its job: wrong use, missing file, a fault of its own


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One word after `standproud`.

    Attributes:
        name: The word.
        about: One line for `--help`.
        arguments: Adds its arguments to its own parser.
        run: Does it and returns the exit status.
    """

    name: str
    about: str
    arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace, Shell], int]
