"""The cut to watch: one HTML file that plays the proven program on its stock."""

from compiler.view.page import page

__all__ = ["page"]
