"""Where answers come from: one protocol for a case, for the advice followed, and for whoever tests.

A source is asked what it says to what the engine asks; it never touches the session. The screens are the person's
side of it: a key press is turned into the same commands there that ``wizard.engine.driver`` makes of a source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Protocol

from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.messages.commands import Release
from wizard.engine.messages.spin_record import SpinRecord
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fact, Fault, Step


@unique
class ReplyHow(StrEnum):
    """What kind of thing is said to a step."""

    ANSWER = "answer"
    READINGS = "readings"
    UNABLE = "unable"
    NOT_FITTED = "not-fitted"
    STOP = "stop"
    RECORDED = "recorded"


@dataclass(frozen=True, slots=True)
class Reply:
    """What is said to a step.

    ``how`` answer: ``chosen`` is its id, or all that are ticked. ``how`` readings: ``typed`` holds a text for each
    number that the step asks for, in the order item, way, repeat; an empty one is not read. ``how`` stop: work is
    stopped, ``stop`` is the id of the stop. ``how`` recorded: ``spin`` is what the recording said. ``reason`` says why
    a step can't be done or readings are left out. A compute step needs no more than ``Reply(ReplyHow.READINGS)``.
    """

    how: ReplyHow
    chosen: tuple[str, ...] = ()
    typed: tuple[str, ...] = ()
    reason: str = ""
    stop: str = ""
    spin: SpinRecord | None = None


@dataclass(frozen=True, slots=True)
class RepairReply:
    """What becomes of a fault: fitted, declined or on-order, and why or with what words; of one fitted which of its
    remedy's alternatives was done, the first where it says none.
    """

    outcome: RepairOutcome
    reason: str = ""
    alternative: str = ""


class AnswerSource(Protocol):
    """Whoever answers. Every method is given the view of the job as it stands."""

    def fact(self, view: JobView, fact: Fact) -> str:
        """The value of a machine fact."""
        ...

    def complaint(self, view: JobView) -> str:
        """The complaint in the customer's words."""
        ...

    def release(self, view: JobView, condition: str) -> Release:
        """Who says that the cause of a stop is over, and in what words."""
        ...

    def coming(self, view: JobView) -> NextUp:
        """What is done next when nothing is on screen; ``next_queries.next_up`` for the flow's own order.

        A source may also give the kind ``skip``, to pass over ``target`` for the reason ``why``.
        """
        ...

    def reply(self, view: JobView, run: Run, step: Step) -> Reply:
        """The answer to the step on screen."""
        ...

    def faults(self, view: JobView) -> tuple[str, ...]:
        """The faults confirmed at the decision; empty for none."""
        ...

    def repair(self, view: JobView, fault: Fault) -> RepairReply:
        """What becomes of a confirmed fault."""
        ...
