"""From motions to the control's text."""

from compiler.write.program import Written, write

__all__ = ["Written", "write"]
