"""How long a program keeps the machine, read as its control would read it; nothing is cut."""

from __future__ import annotations

from compiler.job.model import Job, Machine
from compiler.judge.wear import wear_offsets
from compiler.plan.model import OperationList
from compiler.read import Columns, Dialect, columns, read
from compiler.simulate import motion_times, total_time


def clocked(motions: Columns, machine: Machine) -> list[float]:
    """Seconds of each motion at the machine's rates."""
    return motion_times(
        motions,
        rapid=machine.rapid,
        acceleration=machine.acceleration,
        most_feed=machine.max_feed,
    )


def time_of_text(text: str, job: Job, plan: OperationList) -> float | None:
    """Seconds of the whole program, tool changes included; None for a text that is refused."""
    offsets = {offset.number: 0.0 for offset in wear_offsets(job, plan)}
    program = read(text, dialect=Dialect.of(job.machine.program), offsets=offsets).value
    if program is None:
        return None
    seconds = clocked(columns(program.motions), job.machine)
    return total_time(seconds, program.blocks, change_time=job.machine.change_time)
