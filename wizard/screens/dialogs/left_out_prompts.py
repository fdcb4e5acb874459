"""The questions before a step is left out: can't it be done or is it not fitted, and why."""

from __future__ import annotations

from collections.abc import Callable

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.messages import commands as cmd
from wizard.engine.state.job_view import JobView
from wizard.screens.dialogs.prompts import AskOne, PickReason
from wizard.screens.layout.app_protocol import Host
from wizard.screens.text.reason_choices import reasons_for_step

CHOICES = (("unable", "It can't be done"), ("not-fitted", "This machine has no such part"))


def ask_left_out(host: Host, view: JobView, leave: Callable[[AnswerHow, str], cmd.Command]) -> None:
    """Ask how and why the step on screen is left out; carry out what ``leave`` makes of the answers."""
    run = view.state.run
    assert run is not None
    inspection = view.flow.inspections[run.inspection]
    step = inspection.step(run.at)
    assert step is not None

    def ask_why(how: AnswerHow, says: str) -> None:
        why = "why can't it be done?" if how is AnswerHow.UNABLE else "how do you know that it is not fitted?"
        ask = PickReason(f"{inspection.title}: {why}", says, reasons_for_step(how))
        host.ask(ask, lambda reason: host.act(leave(how, reason)))

    if run.only:
        stop = view.flow.stops.get(step.unable.stop)
        left = (
            f"Work is stopped then: {stop.says}" if stop else "What it was asked for can't be done now then."
        )
        ask_why(AnswerHow.UNABLE, left)
    else:
        ask = AskOne("Leave this step out?", step.do, CHOICES)
        host.ask(ask, lambda how: ask_why(AnswerHow(how), step.do))
