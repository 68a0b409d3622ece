"""A program text that is to be tried in air, whoever made it: that it really cuts none but air."""

from __future__ import annotations

from compiler.diagnostics import Outcome
from compiler.job.model import Job
from compiler.judge.air import Air, in_air, lowest_tip
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.plan.model import OperationList
from compiler.prove_out.motions import lowest, raised


def text_in_air(
    text: str, *, job: Job, part: Part, plan: OperationList, motions: Motions
) -> Outcome[Air]:
    """What a raised program keeps clear of; no value where the reader refuses it.

    Args:
        text: The program. How far it is raised is told from its lowest tip.
        job, part, plan, motions: Of the real program. Whether the text is that one, raised, is
            found like everything else (`text_true`); the caller weighs it.
    """
    low = lowest_tip(text, job, plan)
    by = 0.0 if low is None else low - lowest(motions)
    lifted = plan.model_copy(update={"clearance_mm": round(plan.clearance_mm + by, 6)})
    return in_air(job=job, part=part, plan=lifted, motions=raised(motions, by), text=text)
