"""What a job asks of the one who does it: questions, readings, key presses, screens and words, of its events."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wizard.domain.vocabulary import StepKind
from wizard.engine.messages import events as ev
from wizard.flow.model import AnyStep, Flow

CLOSING = len("CLOSE") + 1
"""Keys that close a visit: a word and Enter."""

_READ = (StepKind.MEASURE, StepKind.COMPUTE)


@dataclass(frozen=True, slots=True)
class Effort:
    """Counts of one job, or of its part up to the decision.

    ``questions``: steps answered by choosing, ticking or saying done; ``readings``: numbers typed; ``keys``: as a
    person presses them who makes no slip, the facts and the complaint left out; ``screens``: each once it is shown
    anew; ``words``: of the steps' texts and answers.
    """

    questions: int = 0
    readings: int = 0
    keys: int = 0
    screens: int = 0
    words: int = 0

    @property
    def asked(self) -> int:
        """Questions and readings together."""
        return self.questions + self.readings

    def __add__(self, other: Effort) -> Effort:
        """Return both together."""
        return Effort(
            self.questions + other.questions,
            self.readings + other.readings,
            self.keys + other.keys,
            self.screens + other.screens,
            self.words + other.words,
        )


def effort(flow: Flow, records: Iterable[ev.Recorded]) -> tuple[Effort, Effort]:
    """Return the effort up to the first decision, and that of the whole job."""
    runs: dict[int, str] = {}
    whole, decided = Effort(), None
    for record in records:
        event = record.event
        if isinstance(event, ev.Entered):
            runs[event.run] = event.inspection
        whole += _of(flow, event, runs)
        if decided is None and isinstance(event, ev.Decided):
            decided = whole
    return decided or whole, whole


def _of(flow: Flow, event: ev.Event, runs: dict[int, str]) -> Effort:
    """Return what one event took."""
    match event:
        case ev.Entered(condition=""):
            return Effort(keys=1, screens=1)
        case ev.Answered():
            step = flow.inspections[runs[event.run]].step(event.step)
            return _answered(step, event.chosen) if step is not None else Effort()
        case ev.ReadingTaken():
            return Effort(readings=1, keys=len(event.typed) + 1)
        case ev.Decided():
            return Effort(keys=len(event.faults) + 1, screens=1)
        case ev.RepairDone():
            return Effort(keys=2 + len(event.parts), screens=2)
        case ev.Closed():
            return Effort(keys=CLOSING, screens=1)
        case _:
            return Effort()


def _answered(step: AnyStep, chosen: tuple[str, ...]) -> Effort:
    """Return what a step took: a digit, a tick for each line and Enter, or Enter for a verdict."""
    words = len(step.do.split()) + sum(len(a.says.split()) for a in step.answers)
    ticks = chosen if step.many else ()
    asked = 0 if step.kind in _READ else 1
    return Effort(questions=asked, keys=len(ticks) + 1, screens=1, words=words)
