"""Choosing cutters: a job with `tool: auto` in, the same job with its cutters named out."""

from compiler.selection.choose import Chosen, choose, told
from compiler.selection.name import carried, roomy

__all__ = ["Chosen", "carried", "choose", "roomy", "told"]
