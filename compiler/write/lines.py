"""Lines of a program with their owners: blocks, comments, numbers; none longer than is allowed."""

from dataclasses import dataclass, field

from compiler.job import ProgramStyle
from compiler.write.comments import comment

LONGEST_LINE = 256  # NISTIR 6556 sec. 3.3: more is an error
HIGHEST_NUMBER = 99_999  # sec. 3.3.1: a line number has at most five digits, and may repeat


@dataclass(slots=True)
class Lines:
    """The text as it grows: each line with the operation that owns it, if one does."""

    style: ProgramStyle
    rows: list[tuple[str, str | None, bool]] = field(default_factory=list)  # text, owner, a block
    owner: str | None = None
    before: tuple[str, ...] = ()  # words that go first in the next block

    @property
    def room(self) -> int:
        """The longest line allowed, less what a line number takes."""
        limit = min(self.style.max_line_length, LONGEST_LINE)
        return limit - (7 if self.style.line_numbers else 0)

    def block(self, *words: str) -> None:
        """One block. Spaces go where it would be too long: between words they mean nothing."""
        text = " ".join(word for word in (*self.before, *words) if word)
        self.before = ()
        if len(text) > self.room:
            text = text.replace(" ", "")
        self.rows.append((text, self.owner, True))

    def plain(self, text: str) -> None:
        """A line that is no block: `%`, a program number."""
        self.rows.append((text, self.owner, False))

    def remark(self, text: str) -> None:
        """A comment on a line of its own, where the style has comments."""
        if made := comment(text, self.style.comments, self.room):
            self.rows.append((made, self.owner, False))

    def numbered(self) -> list[str]:
        """The lines as they will stand, numbered where the style says so."""
        if not self.style.line_numbers:
            return [text for text, _, _ in self.rows]
        blocks = sum(is_block for _, _, is_block in self.rows)
        stride = 10 if blocks < 10_000 else 1
        out: list[str] = []
        count = 0
        for text, _, is_block in self.rows:
            if is_block:
                count = count + stride if count + stride <= HIGHEST_NUMBER else stride
                out.append(f"N{count} {text}")
            else:
                out.append(text)
        return out
