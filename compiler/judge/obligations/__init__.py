"""The obligations, each in its own file: `check(case) -> Obligation`. The list is explicit."""

from collections.abc import Callable

from compiler.judge.case import Case
from compiler.judge.model import Obligation
from compiler.judge.obligations import (
    engagement_held,
    entries_safe,
    floor_kept,
    holder_clear,
    load_held,
    machine_fits,
    nothing_left,
    program_sane,
    rapids_clear,
    regions_stand,
    text_true,
)

ALL: tuple[Callable[[Case], Obligation], ...] = (
    regions_stand.check,
    floor_kept.check,
    rapids_clear.check,
    entries_safe.check,
    engagement_held.check,
    load_held.check,
    holder_clear.check,
    machine_fits.check,
    nothing_left.check,
    program_sane.check,
    text_true.check,
)

# What must also hold with a wear offset at either end of its range; what stays on walls and what
# was planned are questions to the nominal one.
AT_BOTH_ENDS: tuple[Callable[[Case], Obligation], ...] = (
    regions_stand.check,
    floor_kept.check,
    rapids_clear.check,
    entries_safe.check,
    engagement_held.check,
    load_held.check,
    holder_clear.check,
    machine_fits.check,
    program_sane.check,
)

# What a program that cuts air is asked.
IN_THE_AIR: tuple[Callable[[Case], Obligation], ...] = (
    regions_stand.check,
    rapids_clear.check,
    holder_clear.check,
    machine_fits.check,
    program_sane.check,
    text_true.check,
)

__all__ = ["ALL", "AT_BOTH_ENDS", "IN_THE_AIR", "load_held", "nothing_left"]
