"""What a step says, as sentences: its cautions, what to wait for, what is known, what to do, what to expect."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import SignalWord
from wizard.engine.queries import last_known
from wizard.engine.state.job_view import JobView
from wizard.engine.state.waiting import wait_words
from wizard.flow.model import Caution, Inspection, Step
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.text.answer_numbering import GRAVE
from wizard.screens.text.unit_text import beside

WAIT, NOT_KNOWN_NOW, LAST_KNOWN, EXPECT = "Wait:", "Not known now:", "Last known:", "Expect:"
"""What stands before the sentences of a step."""


@dataclass(frozen=True, slots=True)
class StepSentences:
    """The sentences of a step, each empty where there is none; the cautions the gravest first."""

    cautions: tuple[Caution, ...]
    wait: str
    not_known: str
    last_known: str
    do: str
    expect: str


def cautions_of(inspection: Inspection, step: Step, first: bool) -> tuple[Caution, ...]:
    """What to be warned of at a step: its own cautions, the inspection's grave ones, and at its start all of them."""
    general = [c for c in inspection.caution if first or c.word in GRAVE]
    return (*step.caution, *(c for c in general if c not in step.caution))


def gravest_first(cautions: tuple[Caution, ...]) -> tuple[Caution, ...]:
    """The cautions in the order of their signal words, the gravest first."""
    return tuple(sorted(cautions, key=lambda c: tuple(SignalWord).index(c.word)))


def step_sentences(view: JobView, system: UnitSystem | None = None, wait: float = 0.0) -> StepSentences:
    """What the step on screen says; AssertionError where none is open.

    ``wait``: seconds left until it may be answered. ``system``: the units on screen where they aren't the step's own;
    each measure then has its value in them behind.
    """
    run = view.state.run
    assert run is not None
    inspection = view.flow.inspections[run.inspection]
    step = inspection.step(run.at)
    assert step is not None
    first = not view.state.answers(run.id)
    return StepSentences(
        gravest_first(cautions_of(inspection, step, first)),
        f"{wait_words(wait)} more. Until then nothing is taken here." if wait else "",
        ", ".join(last_known.asked_of(view, step)),
        "; ".join(last_known.words(view, x) for x in last_known.otherwise(view, step)),
        beside(step.do, system),
        beside(step.expect, system) if step.expect else "",
    )
