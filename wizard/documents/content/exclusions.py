"""What the answers have against a fault: the finding that rules it out, and where that was answered."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.state import queries
from wizard.engine.state.job_view import JobView

NEUTRAL = 0.5
"""The evidence that says nothing of a finding."""


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A finding that a fault shows and that was not there, with the titles of the inspections that say so."""

    says: str
    places: tuple[str, ...]


def excluded_by(view: JobView, fault: str) -> Exclusion | None:
    """The finding not there that speaks most against a fault; None where none of the answers speaks against it.

    The most: by how often the fault alone shows it, and by how sure it is that it was not there. What one of the steps
    that ask for it found last was there, whatever the others say.
    """
    last = {g.ref: g for g in view.state.answer_records if not g.aside and g.how is AnswerHow.ANSWER}
    found = {name for g in last.values() for name, e in g.evidence.items() if e > NEUTRAL}
    against = {
        name: view.flow.findings[name].weights.get(fault, 0.0) * (NEUTRAL - e)
        for name, e in queries.evidence(view).items()
        if e < NEUTRAL and name not in found
    }
    name = max(against, key=lambda finding: against[finding], default="")
    if not name or against[name] <= 0.0:
        return None
    places = (
        view.flow.inspections[g.inspection].title
        for g in last.values()
        if g.evidence.get(name, NEUTRAL) < NEUTRAL and g.inspection in view.flow.inspections
    )
    return Exclusion(view.flow.findings[name].says, tuple(dict.fromkeys(places)))


def shown(view: JobView, fault: str) -> bool:
    """True where something that the fault shows was found, so that only other faults explain it better."""
    heard = queries.evidence(view)
    return any(e > NEUTRAL and view.flow.findings[n].weights.get(fault, 0.0) > 0.0 for n, e in heard.items())
