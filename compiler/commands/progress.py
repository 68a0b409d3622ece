"""How far a long work has come: one line on a terminal, rewritten; nothing in a pipe."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.commands.shell import Shell

CLEAR = "\r\x1b[K"


@dataclass(slots=True)
class Progress:
    """Counts jobs that are done. Quiet unless standard error is a terminal and form is text."""

    shell: Shell
    total: int
    done: int = 0

    @property
    def shows(self) -> bool:
        """Whether there is anybody to see it."""
        return self.shell.format == "text" and self.shell.err.isatty()

    def begin(self) -> None:
        """Say that work goes on: the first result may take a while."""
        if self.shows:
            self.shell.err.write(f"{CLEAR}compiling, 0 of {self.total}")
            self.shell.err.flush()

    def step(self, name: str) -> None:
        """One more is done."""
        self.done += 1
        if self.shows:
            self.shell.err.write(f"{CLEAR}{self.done} of {self.total}  {name}")
            self.shell.err.flush()

    def say(self, doing: str) -> None:
        """What is being done now, where it is not counted."""
        if self.shows:
            self.shell.err.write(f"{CLEAR}{doing} ...")
            self.shell.err.flush()

    def clear(self) -> None:
        """Take the line away before something else is printed."""
        if self.shows:
            self.shell.err.write(CLEAR)
            self.shell.err.flush()
