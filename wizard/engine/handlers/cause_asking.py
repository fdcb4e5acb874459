"""Asking anew what work was stopped for on an earlier visit, and writing down that it is over."""

from __future__ import annotations

from wizard.domain.vocabulary import JobAct, RefusalReason
from wizard.engine.handlers.intake import forget_fact
from wizard.engine.handlers.transaction import (
    REFUSED,
    Transaction,
    arrive,
    ask,
    beginning,
    clear_screen,
    enter,
    named,
    require_job,
    settle,
)
from wizard.engine.messages import commands as cmd
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.engine.queries.standing_stops import Cause, cause_of, needed_again, unreleased
from wizard.errors import Refused
from wizard.safety import Barred

UNNAMED = "Nobody is named on this visit. Take it over by your name (F7): the record says who cleared a stop."
ANEW = "Asked anew: work was stopped for it."


def ask_cause(d: Transaction, command: cmd.AskCause) -> None:
    """Put the question on screen that led to a stop of an earlier visit, behind what it needs; or the next that
    establishes what the stop asks for.
    """
    require_job(d, JobAct.WORK)
    cause = cause_of(d.view, command.stop)
    if cause is None:
        raise Refused(RefusalReason.UNKNOWN, "Nothing of that kind stops work now.")
    if not named(d):
        raise Refused(RefusalReason.READING, UNNAMED)
    if held := unreleased(d.view, cause.stop):
        says = d.flow.conditions[held[0]].says
        raise Refused(RefusalReason.LATCHED, f"{says}: first it is said who says that it is over.")
    clear_screen(d)
    if cause.fact:
        forget_fact(d, cause.fact, ANEW)
        arrive(d)
    elif cause.open and cause.question is not None:
        _ask_question(d, cause)
    else:
        _establish(d, cause)


def _ask_question(d: Transaction, cause: Cause) -> None:
    assert cause.question is not None
    inspection = d.flow.inspections[cause.question.inspection]
    start = cause.question.step if cause.condition else beginning(d.flow, inspection, cause.question.step)
    enter(d, inspection, start, inspection_queries.phase_now(d.state), condition=cause.condition)
    settle(d)


def _establish(d: Transaction, cause: Cause) -> None:
    coming = d.model.next_step(d.belief, needed_again(d.view, cause.stop))
    if isinstance(coming, Barred):
        raise Refused(REFUSED[coming.kind], machine_queries.barred_words(d.view, coming))
    if coming is not None:
        ask(d, coming)
        settle(d)
