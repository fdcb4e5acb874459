"""The readings of the step on screen: what is asked now, what was read and judged. Pure functions of a state."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine.measuring import judging
from wizard.engine.measuring.judging import Judged, JudgedOutcome, Slot
from wizard.engine.messages import commands as cmd
from wizard.engine.state.job_state import ReadingRecord
from wizard.flow.model import MeasureStep, Reading, Tool
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.text.charset import sign
from wizard.screens.viewmodels.reading import reading_questions
from wizard.screens.viewmodels.step.current_step import CurrentStep


@dataclass(frozen=True, slots=True)
class FurtherReading:
    """One more reading, asked of a step though all were there: for this run, step and slot."""

    run: int
    step: str
    slot: Slot


@dataclass(frozen=True, slots=True)
class StepReadings:
    """A step that is measured, as it stands on a screen in ``unit``.

    ``slot`` is the number asked now, None once all are there; ``again`` says that it is one more than the step asks.
    """

    current: CurrentStep
    step: MeasureStep
    unit: str
    slot: Slot | None
    again: bool

    @property
    def reading(self) -> Reading:
        """What the step reads."""
        return self.step.reading

    @property
    def tool(self) -> Tool:
        """What it is read with."""
        return self.current.view.flow.tools[self.reading.tool]

    @property
    def records(self) -> tuple[ReadingRecord, ...]:
        """What was read so far."""
        return self.current.readings

    @property
    def outcome(self) -> JudgedOutcome:
        """What was read so far, judged as a whole."""
        return judging.judge_readings(self.current.view, self.step, self.records)

    @property
    def judged(self) -> tuple[Judged, ...]:
        """What was read so far, judged item by item."""
        return self.outcome.items if self.records else ()

    @property
    def places(self) -> int:
        """How many numbers the step asks for, one more included."""
        return len(judging.slots(self.as_shown, self.current.view.state.facts))

    @property
    def as_shown(self) -> Reading:
        """The reading as its table shows it."""
        return reading_questions.as_shown(self.reading, self.unit, self.records, self.slot)

    @property
    def alone(self) -> bool:
        """True where the step asks for one number, and no limit judges it."""
        asked = judging.slots(self.reading, self.current.view.state.facts)
        return len(asked) == 1 and self.current.limit is None

    @property
    def earlier(self) -> Judged | None:
        """The earlier reading of what is asked, or of what decides, where the step is measured again."""
        return self.current.earlier(self._name if self.slot else None, self.judged)

    @property
    def _name(self) -> str:
        assert self.slot is not None
        return judging.slot_name(self.reading, self.current.view.state.facts, self.slot)

    @property
    def asks(self) -> str:
        """'damper 2, out · 2 of 3'; the tool where the step has no places of its own. Empty when all are there."""
        if self.slot is None:
            return ""
        turn = f"{self.slot.repeat + 1} of {self.reading.repeats}" if self.reading.repeats > 1 else ""
        turn = "one more" if self.slot.repeat >= self.reading.repeats else turn
        return f" {sign('·')} ".join(x for x in (self._name or self.tool.says, turn) if x)

    def has(self, slot: Slot | None) -> bool:
        """True where the number of a slot is there."""
        return slot in {Slot(t.item, t.way, t.repeat) for t in self.records}

    def questions(self, text: str) -> tuple[str, ...]:
        """What to ask about a typed number before it is taken."""
        if self.slot is None:
            return ()
        return reading_questions.questions(self.reading, self.tool, self.records, self.slot, text, self.unit)

    def take(self, text: str) -> cmd.Command:
        """Return the command that takes a typed number for the slot asked now."""
        assert self.slot is not None
        other = self.unit if self.unit != self.reading.unit else ""
        where = (self.slot.item, self.slot.way, self.slot.repeat)
        return cmd.TakeReading(self.current.run.id, self.step.id, text, *where, other)

    def go_on(self) -> cmd.Command:
        """Return the command that goes on with the verdict."""
        return cmd.Judge(self.current.run.id, self.step.id)


def step_readings(
    current: CurrentStep, system: UnitSystem, again: FurtherReading | None = None
) -> StepReadings:
    """Return the readings of the step on screen, in a system of units; ``again`` is one more that was asked for.

    AssertionError where the step is none that is measured.
    """
    step, taken = current.step, current.readings
    assert isinstance(step, MeasureStep)
    missing = judging.missing(step.reading, current.view.state.facts, taken)
    there = {Slot(t.item, t.way, t.repeat) for t in taken}
    wanted = again is not None and (again.run, again.step) == (current.run.id, step.id)
    more = again.slot if again is not None and wanted and again.slot not in there else None
    slot = missing[0] if missing else more
    return StepReadings(current, step, current.unit(system), slot, not missing and more is not None)


def further(readings: StepReadings) -> FurtherReading | None:
    """One more reading of what is least sure, once all are there; None before that."""
    slot = (
        None
        if readings.slot
        else reading_questions.again(readings.reading, readings.records, readings.judged)
    )
    return FurtherReading(readings.current.run.id, readings.step.id, slot) if slot else None


def words_after(before: StepReadings, after: StepReadings, text: str) -> str:
    """What is said once ``text`` was taken for what was asked ``before``; empty where nothing is, or it wasn't.

    How it was understood, and with the last number what one more reading would change.
    """
    run, step = before.current.run.id, before.step.id
    if (after.current.run.id, after.step.id) != (run, step) or not after.has(before.slot):
        return ""
    note, more = reading_questions.note(text, before.unit), ""
    if after.slot is None:
        more = reading_questions.one_more(after.tool, after.current.limit, after.records, after.judged)
    words = ". ".join(w.rstrip(".") for w in (note, more) if w)
    return words + ("." if more else "")
