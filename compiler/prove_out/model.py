"""How a program is to be tried before it cuts."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ProveOut:
    """The same path, raised so that it cuts air, or in place but slowed.

    Attributes:
        height: How far it is raised, as the user wrote it; empty: as high as it takes.
        feed_share: Part of every feed that is left, 0 to 1; None: raised at full feed.
        stops: Stop before each tool, and above the first place of each operation.
    """

    height: str = ""
    feed_share: float | None = None
    stops: bool = False

    @property
    def said(self) -> str:
        """In a few words, the same for the same wish: a build's outputs are told by it."""
        way = f"raised {self.height}".strip()
        if self.feed_share is not None:
            way = f"slowed {self.feed_share:g}"
        return way + (", stops" if self.stops else "")
