"""The questions before a step is left out: can't it be done or is it not fitted, and why."""

from __future__ import annotations

from wizard.domain.vocabulary import AnswerHow
from wizard.screens.layout.question_host import QuestionHost
from wizard.screens.text.reason_choices import reasons_for_step
from wizard.screens.viewmodels.questions import ChoiceQuestion, ReasonQuestion
from wizard.screens.viewmodels.step.current_step import CurrentStep

CHOICES = (("unable", "It can't be done"), ("not-fitted", "This machine has no such part"))


def ask_left_out(host: QuestionHost, current: CurrentStep) -> None:
    """Ask how and why the step on screen is left out, and carry it out."""
    step = current.step

    def ask_why(how: AnswerHow, says: str) -> None:
        why = "why can't it be done?" if how is AnswerHow.UNABLE else "how do you know that it is not fitted?"
        ask = ReasonQuestion(f"{current.inspection.title}: {why}", says, offers=reasons_for_step(how))
        host.put(ask, lambda reason: host.act(current.left_out(how, reason)))

    if current.run.only:
        stop = current.view.flow.stops.get(step.unable.stop)
        left = (
            f"Work is stopped then: {stop.says}" if stop else "What it was asked for can't be done now then."
        )
        ask_why(AnswerHow.UNABLE, left)
    else:
        ask = ChoiceQuestion("Leave this step out?", step.do, CHOICES)
        host.put(ask, lambda how: ask_why(AnswerHow(how), step.do))
