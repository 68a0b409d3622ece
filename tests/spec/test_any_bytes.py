"""Whatever is in the files, loading gives a job or findings: never an exception, never nothing."""

import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from spec_folder import BASE

from compiler.diagnostics import has_errors
from compiler.spec.load import load_job

BROKEN = sorted((Path(__file__).parent / "broken").glob("*.yaml"))
SAMPLES = [BASE.encode(), *(file.read_bytes() for file in BROKEN)]
BITS = [b"\x00", b"\xff", b"[", b"]", b"{", b"}", b":", b"-", b"*a", b"&a ", b"\n", b"  ", b"1e9"]

IN_FOLDER = settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


def sound_or_told(folder: Path, data: bytes) -> None:
    path = folder / "job.yaml"
    path.write_bytes(data)
    read = load_job(path, folder)
    assert (read.value is None) == has_errors(read.findings)
    for found in read.findings:
        assert found.help and found.message
        assert found.primary is not None


@IN_FOLDER
@given(data=st.binary(max_size=100))
def test_any_bytes(tmp_path: Path, data: bytes) -> None:
    sound_or_told(tmp_path, data)


@IN_FOLDER
@given(seed=st.integers(min_value=0, max_value=2**32))
def test_specs_with_bytes_changed(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(4):
        sound_or_told(tmp_path, mangled(chance))


def mangled(chance: random.Random) -> bytes:
    """A spec with a few stretches cut, doubled, or swapped for others."""
    data = chance.choice(SAMPLES)
    for _ in range(chance.randint(1, 4)):
        start = chance.randrange(len(data) + 1)
        end = min(len(data), start + chance.choice([0, 1, 1, 2, 5, 20]))
        put = chance.choice([b"", data[start:end] * 2, *BITS])
        data = data[:start] + put + data[end:]
    return data


@pytest.mark.parametrize("length", range(0, len(BASE), 7))
def test_a_file_cut_short(tmp_path: Path, length: int) -> None:
    sound_or_told(tmp_path, BASE.encode()[:length])
