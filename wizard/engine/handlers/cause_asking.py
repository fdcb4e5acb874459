"""Asking anew what work was stopped for on an earlier visit, and writing down that it is over."""

from __future__ import annotations

from wizard.domain.references import StepRef
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
from wizard.engine.queries import inspection_queries, machine_queries, next_queries
from wizard.engine.queries.standing_stops import (
    Cause,
    cause_of,
    causes_standing,
    establishing,
    needed_again,
    unreleased,
)
from wizard.errors import Refused
from wizard.safety import Ask, Barred

UNNAMED = "Nobody is named on this visit. Take it over by your name (b): the record says who cleared a stop."
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
    elif cause.question is not None:
        _ask_question(d, cause, cause.question)
    else:
        _establish(d, cause)


def _ask_question(d: Transaction, cause: Cause, question: StepRef) -> None:
    inspection = d.flow.inspections[question.inspection]
    start = question.step if cause.condition else beginning(d.flow, inspection, question.step)
    enter(d, inspection, start, inspection_queries.phase_now(d.state), condition=cause.condition)
    settle(d)


def _establish(d: Transaction, cause: Cause) -> None:
    coming = establishing(d.view, cause)
    if isinstance(coming, Barred):
        raise Refused(REFUSED[coming.kind], machine_queries.barred_words(d.view, coming))
    if coming is not None:
        ask(d, coming)
        settle(d)


def go_on(d: Transaction) -> None:
    """After a question that was asked for the end of a stop, ask the next that it needs, where nothing is on screen;
    the map comes once the stop is over, or where it can't be had.
    """
    cause = next(iter(causes_standing(d.view)), None)
    if cause is None or cause.fact or cause.question is not None or d.state.run is not None or d.state.goal:
        return
    if next_queries.open_facts(d.view) or not named(d) or unreleased(d.view, cause.stop):
        return
    if isinstance(
        coming := d.model.next_step(d.belief, cause.first or needed_again(d.view, cause.stop)), Ask
    ):
        ask(d, coming)
        settle(d, answered=True)
