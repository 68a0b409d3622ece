"""Why an expression has no value: raised inside, told as a finding at its edge."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(eq=False)
class RefusalError(Exception):
    """One fact about an expression, its remedy, and where in the expression's text it stands.

    `start` and `end` count characters; `end` of 0 means that the whole expression is meant.
    """

    code: str
    message: str
    help: str
    start: int = 0
    end: int = 0

    def at(self, start: int, end: int) -> RefusalError:
        """The same with its place, if it has none yet."""
        if not self.end:
            self.start, self.end = start, end
        return self
