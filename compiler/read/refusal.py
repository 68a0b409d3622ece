"""How the reader says no inside: caught at the line, turned into a diagnostic there."""


class RefusalError(Exception):
    """A block that the language does not allow, or that this reader will not vouch for.

    Never leaves `read.reader`: a block is deep inside nested steps when it turns out wrong.
    """

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy or "correct the block; nothing after it was read"
