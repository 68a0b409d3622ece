"""What a kind of wild input is, and changes of bytes that serve every kind of text."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Kind:
    """A kind of input.

    Attributes:
        name: As on the command line.
        make: One input from a source of chance.
        try_out: Takes it through the program; returns in a word or two how it ended, beginning with
            `refused` where it was not taken, and raises where anything is wrong.
        read: The same for its first stage alone, where that is by far the quickest.
    """

    name: str
    make: Callable[[random.Random], bytes]
    try_out: Callable[[bytes], str]
    read: Callable[[bytes], str] | None = None


NUMBERS = (
    *(b"0", b"-0", b"1", b"-1", b"1e-320", b"1e308", b"-1e308", b"1e400", b"nan", b"-inf", b"inf"),
    *(b"0.1", b"-3.5", b"25.4", b"1e6", b"1e-9", b"99999999999999999999", b"2147483648", b"-2"),
    *(b"32767", b"65536", b"1e5", b"0.0000001", b"360", b"6.283185307179586", b"", b"1,5", b"0x1F"),
)
"""Numbers that programs like to stumble over."""


def changed(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    """The bytes after one to four changes."""
    for _ in range(chance.choice((1, 1, 1, 2, 4))):
        data = chance.choice(_CHANGES)(chance, data, others)
    return data


def _flipped(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    if not data:
        return data
    place = chance.randrange(len(data))
    return data[:place] + bytes([chance.randrange(256)]) + data[place + 1 :]


def _noise(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    place, cut = chance.randrange(len(data) + 1), chance.randrange(60)
    noise = bytes(
        chance.choice((chance.randrange(256), chance.randrange(48, 58), 10, 46))
        for _ in range(chance.randrange(60))
    )
    return data[:place] + noise + data[place + cut :]


def _lines(data: bytes) -> list[bytes]:
    return data.splitlines(keepends=True) or [b""]


def _lost(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    lines = _lines(data)
    place = chance.randrange(len(lines))
    return b"".join(lines[:place] + lines[place + chance.choice((1, 1, 2, 2, 4, 40)) :])


def _doubled(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    lines = _lines(data)
    place, count = chance.randrange(len(lines)), chance.choice((1, 2, 2, 8, 60))
    return b"".join(lines[: place + count] + lines[place:])


def _swapped(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    lines = _lines(data)
    a, b = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[a], lines[b] = lines[b], lines[a]
    return b"".join(lines)


def _spliced(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    lines, more = _lines(data), _lines(chance.choice(others))
    place, start = chance.randrange(len(lines)), chance.randrange(len(more))
    return b"".join(lines[:place] + more[start : start + 30] + lines[place:])


def _renumbered(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    """Another number where there is one."""
    place = chance.randrange(len(data) + 1)
    begin = next((i for i in range(place, len(data)) if 48 <= data[i] < 58), None)
    if begin is None:
        return data
    end = begin
    while end < len(data) and data[end] in b"0123456789.eE+-":
        end += 1
    return data[:begin] + chance.choice(NUMBERS) + data[end:]


_CHANGES = (
    *(_flipped, _noise, _lost, _doubled, _swapped, _spliced),
    *(_renumbered, _renumbered, _renumbered),
)
