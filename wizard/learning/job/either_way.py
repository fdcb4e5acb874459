"""Which findings a step can both find and rule out: only those teach weights.

A noise that is ticked where it was heard and passed over where it wasn't says nothing of how often it is not there.
Were it counted where it was ticked alone, it would seem to be there nearly always.
"""

from __future__ import annotations

from wizard.engine.handlers.taken_answer import evidence_of
from wizard.flow.model import Step, bands_of

EVEN = 0.5


def either_way(step: Step) -> frozenset[str]:
    """Return the findings of which some answer of the step says that they are there, and another that they are not.

    A reading that is judged by bands says either.
    """
    single = [(answer.id,) for answer in step.answers]
    told = [evidence_of(step, ids) for ids in ([(), *single] if step.many else single)]
    up = {finding for one in told for finding, e in one.items() if e > EVEN}
    down = {finding for one in told for finding, e in one.items() if e < EVEN}
    return frozenset((up & down) | set(bands_of(step)))
