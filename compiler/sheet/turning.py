"""Which setup of several a sheet is for, how the part gets there, and what that asks of the setter.

All of it is empty for a job of one setup.
"""

from __future__ import annotations

from compiler.geometry.pose import Pose
from compiler.job import Job
from compiler.part.model import Part
from compiler.sheet.say import Say

OVER = {
    "x": "Turned over about the X axis: the front edge goes to the back, left stays left",
    "y": "Turned over about the Y axis, as a page is: the left edge goes to the right, "
    "the front stays in front",
}
QUARTERS = {
    1: "a quarter turn counter-clockwise, seen from above",
    2: "half a turn, seen from above",
    3: "a quarter turn clockwise, seen from above",
}


def banner(job: Job) -> tuple[str, ...]:
    """What must be seen from a step away."""
    if job.setup is None:
        return ()
    return (f"SETUP {job.setup.number} OF {job.setup.count}",)


def facts(job: Job) -> tuple[tuple[str, str], ...]:
    """Which setup, and how the part lies compared with the one before."""
    setup = job.setup
    if setup is None:
        return ()
    name = f"{setup.number} of {setup.count}: {setup.name}"
    said = f"{name}, {setup.title}" if setup.title else name
    return (("This setup", said), ("How it lies", lies(job)))


def lies(job: Job) -> str:
    """How the part gets from the setup before to this one, in words."""
    setup = job.setup
    if setup is None or setup.number == 1:
        return "As the drawing has it; nothing has been cut"
    return f"{_turned(setup.pose)}, from setup {setup.number - 1}"


def _turned(pose: Pose) -> str:
    quarters = QUARTERS.get(pose.quarters % 4)
    if pose.flips:
        said = OVER[pose.over]
        return f"{said}; then {quarters}" if quarters else said
    return quarters[0].upper() + quarters[1:] if quarters else "The same side up, held anew"


def upper_face(job: Job) -> str:
    """The face that is up, in words; empty where that needs none."""
    setup = job.setup
    if setup is None or setup.number == 1:
        return ""
    if setup.pose.flips:
        return f"the raw face that is up now; it was down in setup {setup.number - 1}"
    return "where the raw upper face was, whatever has been cut off it"


def checks(job: Job, part: Part) -> tuple[str, ...]:
    """What to see to before a later setup."""
    setup = job.setup
    if setup is None or setup.number == 1:
        return ()
    items = [
        f"Setup {setup.number - 1} is done, its sizes are right, burrs and chips are off every "
        "face that the part lies on or is held by.",
        f"{lies(job)}. The outlines in the drawing above are as seen from above now.",
    ]
    if any(made.faces_down for made in part.made):
        items.append(
            "The side that is down has been cut: it lies on finished faces, is not marked by the "
            "holding, and cannot bend or tip where it is hollow below."
        )
    if setup.breaks_through:
        items.append(
            "Cuts of this setup come through into the other side: nothing that comes loose there "
            "can be caught by the cutter, and nothing lies under it."
        )
    return tuple(items)


def hidden_rows(part: Part, say: Say) -> tuple[str, ...]:
    """Walls that setups before finished on the side that is down, and how high they stand."""
    walls = [made for made in part.made if made.faces_down and made.kind == "wall"]
    return tuple(
        f"On the other side: {made.name} of setup {made.setup}, from Z {say.bare(made.low)} "
        f"up to Z {say.bare(made.high)}."
        for made in walls
    )
