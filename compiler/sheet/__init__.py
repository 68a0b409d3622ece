"""The setup sheet: composed as plain content, printed as PDF or Markdown."""

from compiler.sheet.compose import compose
from compiler.sheet.markdown import markdown
from compiler.sheet.pdf import render

__all__ = ["compose", "markdown", "render"]
