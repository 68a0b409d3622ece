"""Bytes as a DXF document, whole or refused: text or binary, all versions, mended where it can be.

A drawing comes from elsewhere and is not trusted: its size is bounded, it must end with its end
mark, and whatever the reader stumbles over becomes a finding.
"""

from __future__ import annotations

import io
import logging
import re
from collections import Counter
from typing import TYPE_CHECKING

from compiler.diagnostics import Diagnostic, Outcome, Severity
from compiler.drawing.names import DECODING, readable
from compiler.drawing.voice import Voice

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

MAX_BYTES = 64 * 1024 * 1024
"""Larger drawings are refused: ten thousand entities take about one MiB."""

BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"  # the published format's own first bytes
_TEXT_END = re.compile(rb"(^|\n)[ \t]*0[ \t]*\r?\n[ \t]*EOF[ \t]*(\r?\n|\r|$)")
_TEXT_START = re.compile(
    rb"^(\xef\xbb\xbf)?\s*(999[ \t]*\r?\n[^\n]*\n\s*)*0[ \t]*\r?\n[ \t]*SECTION"
)

_GROUP = re.compile(rb"^(\xef\xbb\xbf)?[ \t]*-?\d+[ \t]*\r?$")
_LINE_WORK = re.compile(
    rb"(?:^|\n)[ \t]*0[ \t]*\r?\n[ \t]*"
    rb"(LINE|ARC|CIRCLE|LWPOLYLINE|POLYLINE|VERTEX|ELLIPSE|SPLINE|INSERT|POINT)[ \t]*(?=\r?\n)"
)


def open_document(data: bytes, voice: Voice) -> Outcome[Document]:
    """The document in the bytes, and what had to be mended (W701).

    Errors: E701 for what is no whole DXF, E702 for what is too large.
    """
    refusal = _refusal(data, voice)
    if refusal is not None:
        return Outcome(None, (refusal,))
    # the library reports what it mends through logging; ours are the findings
    log = logging.getLogger("ezdxf")
    if not log.handlers:
        log.addHandler(logging.NullHandler())
    try:
        return Outcome(_read(data))
    except Exception:  # damage of every kind: the slower reader mends or says what is wrong
        if data.startswith(BINARY):
            return Outcome(None, (damaged(voice, "its records do not follow one another"),))
    return _mended(data, voice)


def _refusal(data: bytes, voice: Voice) -> Diagnostic | None:
    """Why the bytes are not even tried."""
    if len(data) > MAX_BYTES:
        return too_large(len(data), voice)
    if not data.strip():
        return voice.finding(
            "E701",
            f"the drawing `{voice.name}` is empty",
            help="export it again; a drawing of one circle has about 200 bytes",
        )
    if data.startswith(BINARY):
        whole = b"EOF\x00" in data[-64:]
    else:
        if not _TEXT_START.match(data[:4096]):
            return voice.finding(
                "E701",
                f"`{voice.name}` is no DXF drawing",
                help="a DXF begins with `0` and `SECTION` on two lines; export the drawing as DXF",
            )
        whole = _TEXT_END.search(data) is not None
    if whole:
        return None
    return voice.finding(
        "E701",
        f"the drawing `{voice.name}` breaks off before its end mark",
        help="part of it is missing, so what it shows cannot be trusted; export or copy it again",
    )


def too_large(size: int, voice: Voice) -> Diagnostic:
    """The finding for a file of `size` bytes, which need not have been read."""
    return voice.finding(
        "E702",
        f"the drawing `{voice.name}` has {size / 1_048_576:.0f} MiB",
        help=f"at most {MAX_BYTES // 1_048_576} MiB are read; export only the layers to be cut",
        data=(("bytes", size),),
    )


def _read(data: bytes) -> Document:
    """The document, read strictly. Raises whatever the library raises."""
    from ezdxf.document import Drawing as Document
    from ezdxf.filemanagement import dxf_stream_info
    from ezdxf.lldxf.tagger import binary_tags_loader

    if data.startswith(BINARY):
        return Document.load(binary_tags_loader(data, errors=DECODING))
    info = dxf_stream_info(io.StringIO(data.decode("utf-8", "ignore")))
    text = data.decode(info.encoding, DECODING)
    return Document.read(io.StringIO(text.replace("\r\n", "\n")))


def _mended(data: bytes, voice: Voice) -> Outcome[Document]:
    from ezdxf import recover
    from ezdxf.audit import AuditError

    # it would read the group `1x0` as 1, without a word
    line = _no_group(data)
    if line:
        return Outcome(None, (damaged(voice, f"line {line} should be the number of a group"),))
    try:
        document, audit = recover.read(io.BytesIO(data), errors=DECODING)
    except Exception as fault:  # the library's own many kinds, and Python's for wild input
        return Outcome(None, (damaged(voice, what_of(fault)),))
    entries = (*audit.errors, *audit.fixes)
    told = [readable(entry.message)[:160] for entry in entries]
    # and the number `1x5` as 1
    guessed = (AuditError.INVALID_INTEGER_VALUE, AuditError.INVALID_FLOATING_POINT_VALUE)
    made_up = (t for t, e in zip(told, entries, strict=True) if e.code in guessed)
    lost = next(made_up, "") or _lost(data, document)
    if lost:
        return Outcome(None, (damaged(voice, lost),))
    if not told:
        return Outcome(document)
    return Outcome(
        document,
        (
            voice.finding(
                "W701",
                f"the drawing `{voice.name}` is damaged and was mended in {len(told)} places",
                severity=Severity.WARNING,
                help="compare the picture with the paper before cutting, or export it again",
                notes=tuple(told[:5]),
            ),
        ),
    )


def _no_group(data: bytes) -> int:
    """The first line, from 1, that has no group's number where one belongs; 0 where all have."""
    end = _TEXT_END.search(data)
    lines = (data[: end.start()] if end else data).split(b"\n")
    return next((2 * i + 1 for i, line in enumerate(lines[::2]) if not _GROUP.match(line)), 0)


def _lost(data: bytes, document: Document) -> str:
    """Which line work the patient reader threw away; nothing where all of it is there."""
    end = _TEXT_END.search(data)
    text = data[: end.start()] if end else data
    there = Counter(kind.decode() for kind in _LINE_WORK.findall(text))
    read = Counter(entity.dxftype() for entity in document.entitydb.values() if entity.is_alive)
    missing = [
        f"{there[k] - read[k]} of {there[k]} {k}" for k in sorted(there) if there[k] > read[k]
    ]
    return ", ".join(missing) + " could not be read" if missing else ""


def what_of(fault: Exception) -> str:
    """What an exception of the library says, in one short line."""
    said = str(fault).splitlines()
    return readable(said[0])[:120] if said and said[0] else type(fault).__name__


def damaged(voice: Voice, what: str) -> Diagnostic:
    """E701: what is wrong inside a file that is a drawing by its looks."""
    return voice.finding(
        "E701",
        f"the drawing `{voice.name}` cannot be read: {what}",
        help="export it again as DXF, version R12 or R2000, text not binary",
    )
