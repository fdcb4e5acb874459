"""What a customer reads first: that the machine must not be used, or not before the parts are in."""

from __future__ import annotations

from wizard.documents.content.out_of_use import forbidding, left_out_of_use
from wizard.documents.content.stoppages import stoppages
from wizard.documents.document_tree import Alert, Evidence, Sentence, TextSpan, stated, strong
from wizard.documents.papers.sections.repairs_section import repairs_ended
from wizard.documents.text.formatting import sentence
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Stop

LEFT = "Do not use this machine: we left it out of use."
"""What is said where nothing forbids its use, and it was left out of use all the same."""


def use_warning(view: JobView) -> Alert | None:
    """A stop-use warning when something forbids its use or work was stopped for the machine or the house; a request
    while parts are on order, where work was stopped for people alone, and where it was left out of use.
    """
    stops = [one.stop for one in stoppages(view)]
    reasons, grave = forbidding(view), [stop for stop in stops if _of_the_machine(view, stop)]
    said = tuple((_recorded(why),) for why in dict.fromkeys((*(stop.says for stop in stops), *reasons)))
    if reasons or grave:
        calls = dict.fromkeys(sentence(stop.call) for stop in grave)
        return Alert(
            True,
            (
                _advice(strong("WARNING. Do not use this machine.")),
                _advice("It could injure you or damage your home."),
            ),
            said,
            (_advice(f"Call first: {' '.join(calls)}"),) if calls else (),
        )
    if stops:
        return Alert(
            False, (_advice(strong("The work is not finished. Please leave the machine as it is.")),), said
        )
    if repairs_ended(view.state, RepairOutcome.ON_ORDER):
        asked = "Please do not use the machine until we have fitted the parts."
        return Alert(False, (_advice(strong(asked)),))
    if left_out_of_use(view):
        return Alert(False, (_advice(strong(LEFT)), _advice("Ask us before anybody uses it again.")))
    return None


def _of_the_machine(view: JobView, stop: Stop) -> bool:
    """False for a stop that says only that people were near: what is asked last before power is of no machine."""
    return not stop.so or not all(c in view.flow.conditions and view.flow.conditions[c].last for c in stop.so)


def _advice(words: str | TextSpan) -> Sentence:
    return stated(words, evidence=Evidence.ADVICE)


def _recorded(words: str) -> Sentence:
    return stated(sentence(words), evidence=Evidence.RECORDED)
