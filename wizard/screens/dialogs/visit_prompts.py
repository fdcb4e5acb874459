"""What is asked at the end of a visit: a stop taken back or left unsafe, closing by a typed word, a new visit."""

from __future__ import annotations

from collections.abc import Callable

from wizard.documents.papers.job_header import result_words
from wizard.engine.messages import commands as cmd
from wizard.engine.queries.stopped import ACTED_ON, UNATTENDED, unattended, was_acted_on
from wizard.screens.layout.question_host import QuestionHost
from wizard.screens.text.reason_choices import NOT_MADE_SAFE
from wizard.screens.viewmodels.closed_job import NEW_VISIT
from wizard.screens.viewmodels.job_map.make_safe_lines import StopLine
from wizard.screens.viewmodels.questions import NameQuestion, ReasonQuestion, TextQuestion, WordQuestion

FIRST_EACH_LINE = "First deal with every line: done, or x and why not."
CLOSE = "CLOSE"
"""The word that closes a visit."""


def ask_slip(host: QuestionHost) -> None:
    """The last stop came of a slip: ask what is so; not where it was acted on."""
    stops = host.controller.state.stops
    if was_acted_on(stops[-1]):
        host.say(ACTED_ON)
        return
    says = (
        "What was pressed or read by mistake, and what is so? The stop and your words stay in the record. "
        "Everything is asked anew, this question too."
    )
    last = host.controller.flow.stops.get(stops[-1].stop)
    title = f"Take the stop back: {last.says}" if last else "Take the stop back"
    host.put(ReasonQuestion(title, says), lambda why: host.act(cmd.WithdrawStop(why)))


def ask_not_made_safe(host: QuestionHost, line: StopLine) -> None:
    """A line of a stop can't be done: ask why."""
    ask = ReasonQuestion("Why can't it be done?", line.says, offers=NOT_MADE_SAFE)
    host.put(ask, lambda why: host.act(cmd.MakeSafe(line.stop, line.number, why)))


def ask_close_stopped(host: QuestionHost, close: Callable[[], None]) -> None:
    """Close a stopped job, with a typed word."""
    if unattended(host.controller.view):
        host.say(UNATTENDED)
        return
    says = "The job ends as stopped. A new visit can resume it."
    host.put(WordQuestion("Close the stopped job", says, CLOSE), lambda _sure: close())


def ask_return(host: QuestionHost) -> None:
    """Come back to a stopped job: who comes is typed, so that no two keys begin a visit."""
    host.put(NameQuestion("A new visit", NEW_VISIT), lambda name: host.act(cmd.BeginVisit(name)))


def ask_visit(host: QuestionHost) -> None:
    """Come back to a closed job: ask who comes and the ticket, and begin the visit."""
    visit = host.controller.state.visit
    ask = NameQuestion("A new visit", NEW_VISIT, visit.technician if visit else "")

    def ticket(technician: str) -> None:
        number = TextQuestion("A new visit", "Its ticket number. It may stay empty.", empty=True)
        host.put(number, lambda text: host.act(cmd.BeginVisit(technician, text)))

    host.put(ask, ticket)


def ask_close(host: QuestionHost) -> None:
    """Close the visit, with a typed word."""
    says = f"The visit ends as: {result_words(host.controller.view)}. Nothing is changed afterwards."
    host.put(WordQuestion("Close this visit", says, CLOSE), lambda _sure: host.act(cmd.Close()))
