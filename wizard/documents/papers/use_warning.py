"""What a customer reads first: that the machine must not be used, or not before the parts are in."""

from __future__ import annotations

from wizard.documents.content.out_of_use import (
    cleared_words,
    left_out_of_use,
    of_the_machine,
    risks,
    use_forbidden,
)
from wizard.documents.content.stoppages import stoppages
from wizard.documents.document_tree import Alert, Evidence, Sentence, TextSpan, stated, strong
from wizard.documents.papers.sections.repairs_section import repairs_ended
from wizard.documents.text.formatting import sentence
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.state.job_view import JobView

LEFT = "Do not use this machine: we left it out of use."
"""What is said where nothing forbids its use, and it was left out of use all the same."""


def use_warning(view: JobView) -> Alert | None:
    """A stop-use warning when something forbids its use or work was stopped for the machine or the house; a request
    while parts are on order, where work was stopped for people alone or for what was cleared since, and where it was
    left out of use.
    """
    stops = [one.stop for one in stoppages(view) if not one.cleared]
    reasons = use_forbidden(view)
    lines = tuple((_recorded(why),) for why in (*(reasons or [s.says for s in stops]), *cleared_words(view)))
    if reasons:
        lines = (*lines, *((_advice(sentence(risk)),) for risk in risks(view)))
        calls = dict.fromkeys(sentence(stop.call) for stop in stops if of_the_machine(view, stop))
        return Alert(
            True,
            (
                _advice(strong("WARNING. Do not use this machine.")),
                _advice("It could injure you or damage your home."),
            ),
            lines,
            (_advice(f"Call first: {' '.join(calls)}"),) if calls else (),
        )
    if lines:
        return Alert(
            False, (_advice(strong("The work is not finished. Please leave the machine as it is.")),), lines
        )
    if repairs_ended(view.state, RepairOutcome.ON_ORDER):
        asked = "Please do not use the machine until we have fitted the parts."
        return Alert(False, (_advice(strong(asked)),))
    if repairs_ended(view.state, RepairOutcome.PUT_OFF):
        asked = "Please do not use the machine until we have made the repair."
        return Alert(False, (_advice(strong(asked)),))
    if left_out_of_use(view):
        return Alert(False, (_advice(strong(LEFT)), _advice("Ask us before anybody uses it again.")))
    return None


def _advice(words: str | TextSpan) -> Sentence:
    return stated(words, evidence=Evidence.ADVICE)


def _recorded(words: str) -> Sentence:
    return stated(sentence(words), evidence=Evidence.RECORDED)
