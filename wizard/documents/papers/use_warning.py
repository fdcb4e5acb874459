"""What a customer reads first: that the machine must not be used, or not before the parts are in."""

from __future__ import annotations

from wizard.documents.content.out_of_use import forbidding
from wizard.documents.content.stoppages import stoppages
from wizard.documents.document_tree import Alert, phrase, strong
from wizard.documents.papers.repairs_section import repairs_ended
from wizard.documents.text.formatting import sentence
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.state.job_view import JobView


def use_warning(view: JobView) -> Alert | None:
    """A stop-use warning when something forbids its use or work was stopped; a request while parts are on order."""
    reasons, stops = forbidding(view), [one.stop for one in stoppages(view)]
    if reasons or stops:
        said = dict.fromkeys((*(stop.says for stop in stops), *reasons))
        calls = dict.fromkeys(sentence(stop.call) for stop in stops)
        return Alert(
            True,
            (
                phrase(strong("WARNING. Do not use this machine.")),
                phrase("It could injure you or damage your home."),
            ),
            tuple((phrase(sentence(reason)),) for reason in said),
            (phrase(f"Call first: {' '.join(calls)}"),) if calls else (),
        )
    if repairs_ended(view.state, RepairOutcome.ON_ORDER):
        asked = "Please do not use the machine until we have fitted the parts."
        return Alert(False, (phrase(strong(asked)),))
    return None
