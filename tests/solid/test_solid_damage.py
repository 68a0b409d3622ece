"""Damaged models: what the kernel falls over, and what it must never get to see."""

from __future__ import annotations

import os
import signal

import pytest
from conftest import ROOT
from step_maker import VOICE, box, errors, step

from compiler.solid.read import read_solid
from compiler.solid.records import what_is_wrong
from compiler.solid.trial import survives

PLATE = (ROOT / "specs" / "drawings" / "guider-plate.step").read_bytes()


def message(data: bytes) -> str:
    outcome = read_solid(data, VOICE)
    assert outcome.value is None and errors(outcome) == ["E721"]
    return outcome.findings[0].message


def test_a_record_that_is_missing_is_named() -> None:
    lines = step(box((0, 0, 0), (9, 8, 7))).splitlines(keepends=True)
    gone = next(line for line in lines if b"VERTEX_POINT" in line)
    number = gone.split(b"=")[0].strip().decode()
    assert f"the record {number} that another needs" in message(
        b"".join(line for line in lines if line is not gone)
    )


def test_a_record_that_is_there_twice_is_named() -> None:
    lines = step(box((0, 0, 0), (9, 8, 7))).splitlines(keepends=True)
    index = next(i for i, line in enumerate(lines) if b"VERTEX_POINT" in line)
    number = lines[index].split(b"=")[0].strip().decode()
    lines.insert(index, lines[index])
    assert f"the record {number} is in it twice" in message(b"".join(lines))


def test_words_and_remarks_are_no_records() -> None:
    sound = (
        b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA ;\n#1=A('#9 it''s; #2=B(#8)',#3);/* #7 */\n"
        b"#3=C();\nENDSEC;\nEND-ISO-10303-21;\n"
    )
    assert what_is_wrong(sound) == ""
    assert what_is_wrong(sound.replace(b"#3=", b"#4=")) != ""
    assert what_is_wrong(PLATE) == ""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the system knows no fork")
@pytest.mark.parametrize(
    ("good", "bad"),
    [
        (b"LINE('',#823,#824)", b"LINE('',#1e5,#824)"),
        (
            b"DEFINITIONAL_REPRESENTATION('',(#848),#852)",
            b"DEFINITIONAL_REPRESENTATION('',(#-1e308),#852)",
        ),
    ],
)
def test_what_kills_the_kernel_does_not_kill_us(good: bytes, bad: bytes, capfd) -> None:
    """Found among wild models: each ended the process by signal 11."""
    assert PLATE.count(good) == 1
    outcome = read_solid(PLATE.replace(good, bad), VOICE)
    assert outcome.value is None and errors(outcome) == ["E721"]
    told = capfd.readouterr()
    assert told.out == "" and told.err == ""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the system knows no fork")
def test_a_trial_tells_a_death_from_an_end() -> None:
    assert survives(lambda: None)
    assert survives(lambda: 1 / 0)
    assert not survives(lambda: os.kill(os.getpid(), signal.SIGKILL))
    # that the kernel does die of the first of those above, or the trial would be idle
    from compiler.solid.read import _transferred

    wild = PLATE.replace(b"LINE('',#823,#824)", b"LINE('',#1e5,#824)")
    assert not survives(lambda: _transferred(wild))
