"""The dialects of program text by the standard's name. A new one: a file here, a line below."""

from collections.abc import Mapping

from compiler.write.dialects.iso6983 import ISO6983
from compiler.write.dialects.model import Dialect
from compiler.write.dialects.rs274ngc import RS274NGC

DIALECTS: Mapping[str, Dialect] = {
    RS274NGC.name: RS274NGC,
    ISO6983.name: ISO6983,
}

__all__ = ["DIALECTS", "Dialect"]
