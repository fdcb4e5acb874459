"""The step on screen, as the screens of a step ask of it. Pure functions of a view of the job."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from wizard.documents.content.measurements import earlier, worst_of
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.measuring.computing import unit_of
from wizard.engine.measuring.judging import Judged, limit_of
from wizard.engine.messages import commands as cmd
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.engine.state.job_state import ReadingRecord, Run
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection, Limit, Step, reading_of
from wizard.flow.model.kind_drawing import drawn_for
from wizard.measure.quantities import units
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.text.answer_numbering import GRAVE, deliberate
from wizard.screens.text.unit_text import system_of
from wizard.screens.viewmodels.step.reading_time import least_seconds
from wizard.screens.viewmodels.step.step_drawings import StepDrawings, drawings_of


@dataclass(frozen=True, slots=True)
class CurrentStep:
    """A step with its run and inspection, and the view of the job that they are of."""

    view: JobView
    run: Run
    inspection: Inspection
    step: Step

    @property
    def drawings(self) -> StepDrawings:
        """The drawings of the step, as this machine looks."""
        flow, facts = self.view.flow, self.view.state.facts
        near, whole = (
            drawn_for(flow.drawings, where, facts) for where in (self.step.closeup, self.step.drawing)
        )
        return drawings_of(flow, near, whole)

    @property
    def asked(self) -> Hashable:
        """Which asking of the step it is: it differs once an answer was given, or the step is another."""
        return (
            self.run.id,
            self.run.at,
            sum(given.run == self.run.id for given in self.view.state.answer_records),
        )

    @property
    def known(self) -> frozenset[str]:
        """The answers, where several may be ticked, that are known to be so: none of them is asked anew."""
        if not self.step.many:
            return frozenset()
        belief = machine_queries.belief(self.view)
        effects = (
            (a.id, [(belief[c], v) for c, v in a.so.items() if c in belief]) for a in self.step.answers
        )
        return frozenset(a for a, so in effects if so and all(known <= values for known, values in so))

    @property
    def seconds(self) -> float:
        """Seconds that it takes to read and to do, where no answer may come before; 0 for any other step."""
        return least_seconds(self.step) if deliberate(self.view.flow, self.inspection, self.step) else 0.0

    @property
    def grave(self) -> bool:
        """True where a warning of it or of its inspection says that hands can be hurt badly."""
        return any(c.word in GRAVE for c in (*self.step.caution, *self.inspection.caution))

    @property
    def readings(self) -> tuple[ReadingRecord, ...]:
        """What was read at it so far."""
        return self.view.state.readings(self.run.id, self.step.id)

    @property
    def untouched(self) -> bool:
        """True while nothing is read of a step whose part is seen from close by."""
        return reading_of(self.step) is not None and bool(self.drawings.near) and not self.readings

    @property
    def limit(self) -> Limit | None:
        """The limit that judges it, or None."""
        return limit_of(self.view, self.step)

    def unit(self, system: UnitSystem) -> str:
        """The unit that it is shown in, in a system of units; empty where it has no number."""
        own = unit_of(self.view, self.step)
        return units.counterpart(own, system) if own else ""

    def other_system(self, system: UnitSystem) -> UnitSystem | None:
        """The system on screen where it isn't the step's own, else None."""
        return system_of(unit_of(self.view, self.step), self.unit(system))

    @property
    def convertible(self) -> bool:
        """True where its numbers can be shown in another system."""
        own = unit_of(self.view, self.step)
        return bool(own) and len({units.counterpart(own, s) for s in UnitSystem}) > 1

    def earlier(self, name: str | None, judged: Sequence[Judged]) -> Judged | None:
        """What an item read before, where the step is measured again: that of this name, else the one that decides."""
        worst = worst_of(judged, self.limit)
        wanted = worst.name if name is None and worst is not None else name
        return earlier(self.view, self.run, self.step).get(wanted) if wanted is not None else None

    def left_out(self, how: AnswerHow, why: str) -> cmd.Command:
        """Return the command that leaves it out; with some readings there, the rest alone where a part may pass."""
        whole = inspection_queries.read_whole(self.view.flow, self.inspection, self.step)
        if self.readings and how is AnswerHow.UNABLE and not whole:
            return cmd.Judge(self.run.id, self.step.id, why)
        return cmd.SayUnable(self.run.id, self.step.id, why, how)


def current_step(view: JobView) -> CurrentStep:
    """Return the step on screen; AssertionError where none is open."""
    run = view.state.run
    assert run is not None
    inspection = view.flow.inspections[run.inspection]
    step = inspection.step(run.at)
    assert step is not None
    return CurrentStep(view, run, inspection, step)


def too_early(current: CurrentStep, unread: int, covered: bool) -> str:
    """Return why no answer is taken yet, as a sentence; empty once one is.

    ``unread``: seconds until its words can have been read. ``covered``: a picture stands in their place.
    """
    if covered and current.grave:
        return "The warning stands behind the drawing. Press Tab and read it first."
    return f"Read it, and do it: an answer is taken in {unread} s." if unread else ""
