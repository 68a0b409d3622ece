"""From motions to the control's text."""

from compiler.write.program import Trial, Written, write

__all__ = ["Trial", "Written", "write"]
