"""Bytes to text: size, encoding and the characters that may not be in a spec."""

import re

from compiler.diagnostics import Diagnostic, Outcome, Span
from compiler.spec.fault import fault

MAX_BYTES = 1_048_576

# C0 but tab and line ends, DEL, C1, the Unicode line separators (they end lines for some readers
# only), lone surrogates, the marks that reverse the direction of text, and non-characters
UNWANTED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069"
    "\ud800-\udfff\ufeff\ufffe\uffff]"
)


def decode(data: bytes, file: str) -> Outcome[str]:
    """The text of a spec file, or why it is none (E001 to E003, E010)."""
    start = Span(file, 1, 1, 1, 2)
    if len(data) > MAX_BYTES:
        size = len(data) / 1_048_576
        return _failed(
            fault(
                "E010",
                start,
                f"the file has {size:.1f} MiB",
                f"a spec may have {MAX_BYTES // 1_048_576} MiB; keep shapes in drawings",
            )
        )
    if not data.strip():
        return _failed(
            fault("E001", start, "the file is empty", "begin with `spec: job/1` and a name")
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _failed(
            fault("E002", start, "the file is UTF-16 text", "save it as UTF-8 in your editor")
        )
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        place = _place(data[: error.start].decode("utf-8"), file)
        return _failed(
            fault(
                "E002",
                place,
                f"byte 0x{data[error.start]:02x} is not UTF-8 text",
                "a spec is YAML text in UTF-8; check that this is the right file",
            )
        )
    text = text.removeprefix("\ufeff")  # a mark that some editors write; harmless at the start
    found = UNWANTED.search(text)
    if found:
        return _failed(_unwanted(found, text, file))
    return Outcome(text)


def _unwanted(found: re.Match[str], text: str, file: str) -> Diagnostic:
    name = f"U+{ord(found.group()):04X}"
    what = "the file is binary" if found.group() == "\0" else f"control character {name} in text"
    return fault(
        "E003",
        _place(text[: found.start()], file),
        what,
        "take the character out" if found.group() != "\0" else "a spec is YAML text in UTF-8",
    )


def _place(before: str, file: str) -> Span:
    """The place right after some text."""
    lines = re.split("\r\n|\r|\n", before)
    column = len(lines[-1]) + 1
    return Span(file, len(lines), column, len(lines), column + 1)


def _failed(found: Diagnostic) -> Outcome[str]:
    return Outcome(None, (found,))
