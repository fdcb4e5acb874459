"""Follow a witness through the real engine: the steps of a path, done one after the other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Literal

from wizard.domain.chosen_answers import USUAL, chosen_text, read_chosen
from wizard.domain.references import AnswerRef, StepRef
from wizard.domain.vocabulary import AnswerHow, JobState, RefusalReason, RepairOutcome
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Recorded, Widened
from wizard.engine.messages.repair_parts import usual_alternative
from wizard.engine.queries import machine_queries, next_queries
from wizard.engine.session import Session
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import State
from wizard.errors import CaseFailed, Refused
from wizard.flow.model import ComputeStep, Flow, MeasureStep, Step
from wizard.flowcheck.model.judged_values import value_for
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.flowcheck.model.witness_steps import (
    WitnessBelief,
    WitnessConfirmation,
    WitnessFact,
    WitnessMove,
    WitnessOpening,
    WitnessPreparation,
    WitnessRepair,
    WitnessStep,
    WitnessVerb,
)
from wizard.measure.quantities import units
from wizard.safety import WideningReason, changed

WHY = "Following a witness."


PlainStep = (
    WitnessOpening
    | WitnessConfirmation
    | WitnessPreparation
    | WitnessRepair
    | Literal[WitnessMove.UNDO, WitnessMove.BREAK]
)
"""A step that is one command."""


@dataclass(frozen=True, slots=True)
class Followed:
    """How far a witness was followed. ``refused`` is the reason that its step ``at`` (from 0) was refused for; all
    were done when it is None. ``states`` holds the state after each step that was done.
    """

    states: tuple[State, ...]
    records: tuple[Recorded, ...]
    at: int
    refused: RefusalReason | None = None
    says: str = ""

    @property
    def state(self) -> State:
        """Where it ended."""
        return self.states[-1]


def follow(flow: Flow, witness: Iterable[WitnessStep]) -> Followed:
    """Follow a witness as far as the engine allows. CaseFailed if a step doesn't fit the screen."""
    steps = list(witness)
    walker = Walker(flow, {step.fact: step.value for step in steps if isinstance(step, WitnessFact)})
    states = [walker.session.state]
    for number, step in enumerate(steps):
        try:
            walker.do(step)
        except Refused as refusal:
            return Followed(tuple(states), tuple(walker.records), number, refusal.reason, str(refusal))
        states.append(walker.session.state)
    return Followed(tuple(states), tuple(walker.records), len(steps))


@dataclass(slots=True)
class Walker:
    """A session on a machine with these facts; a fact that isn't given takes its usual or first value."""

    flow: Flow
    facts: dict[str, str]
    clock: CaseClock = field(default_factory=CaseClock)
    records: list[Recorded] = field(default_factory=list)
    session: Session = field(init=False)

    def __post_init__(self) -> None:
        self.session = Session.begin(self.flow, "witness", self.records.append, self.clock, "Witness")
        while (run := self.session.state.run) is not None:
            for command in self.answer(AnswerRef(run.ref, USUAL)):
                self.session.do(command)
        while (
            coming := next_queries.open_facts(self.session.view)
        ) and self.session.state.job is not JobState.STOPPED:
            fact = self.flow.fact(coming[0])
            assert fact is not None
            first = fact.values[0].id if fact.values else "not given"
            self.session.do(cmd.SetFact(fact.id, self.facts.get(fact.id) or fact.usual or first))
        if self.session.state.job is JobState.WORKING:
            self.session.do(cmd.SetComplaint(self.flow.complaint))
            self.session.do(
                cmd.Pause()
            )  # What was known on arrival isn't any more: a witness begins with nothing.

    def do(self, step: WitnessStep) -> None:
        """Do one step; the facts were given when the job began."""
        match step:
            case WitnessFact():
                pass
            case WitnessBelief(condition, values):
                self.know(condition, values)
            case WitnessMove.RESTART:
                reported = tuple(self.records)
                self.session = Session.resume(self.flow, reported, self.records.append, self.clock)
            case AnswerRef():
                for command in self.answer(step):
                    self.session.do(command)
            case _:
                self.session.do(self.command(step))

    def know(self, condition: str, values: Iterable[str]) -> None:
        """Believe this from here on; no command does so, and an audit would say that."""
        view = self.session.view
        state, model, before = view.state, view.model, machine_queries.belief(view)
        after = model.settle({**before, condition: frozenset(values)})
        event = Widened(why=WideningReason.PERSON, belief=changed(before, after))
        record = Recorded(state.seq + 1, state.at, 0.0, event)
        self.records.append(record)
        self.session.view = view.at(fold(state, record))

    def command(self, step: PlainStep) -> cmd.Command:
        """The command of a step that is one by itself."""
        match step:
            case WitnessMove.UNDO:
                return cmd.Undo()
            case WitnessMove.BREAK:
                return cmd.Pause()
            case WitnessOpening(at):
                return cmd.OpenInspection(at.inspection, at.step)
            case WitnessConfirmation(fault):
                return cmd.Confirm((fault,), WHY)
            case WitnessPreparation(fault):
                return cmd.Prepare(fault)
            case WitnessRepair(fault, outcome):
                way = usual_alternative(self.flow.faults[fault].remedy)
                return cmd.RecordRepair(fault, outcome, reason=WHY, alternative=way)

    def answer(self, given: AnswerRef) -> Iterator[cmd.Command]:
        """The commands that answer the step on screen, which must be the one that is to be answered."""
        state, answer = self.session.state, given.answer
        run = state.run
        if run is None or run.ref != given.at:
            on_screen = run.ref if run else "the job map"
            raise CaseFailed(f"{given.at} is to be answered, but {on_screen} is on screen.")
        step = self.flow.inspections[run.inspection].step(run.at)
        assert step is not None
        if answer == USUAL:
            answer = _usual(step)
        if answer in (AnswerHow.UNABLE, AnswerHow.NOT_FITTED):
            yield cmd.SayUnable(run.id, run.at, WHY, AnswerHow(answer))
        elif isinstance(step, MeasureStep):
            value = value_for(self.session.view, step, answer)
            for slot in judging.slots(step.reading, state.facts):
                typed = f"{units.from_si(value, step.reading.unit):.9g}"
                yield cmd.TakeReading(run.id, step.id, typed, slot.item, slot.way, slot.repeat, sure=True)
            yield cmd.Judge(run.id, step.id)
        elif isinstance(step, ComputeStep):
            yield cmd.Judge(run.id, step.id)
        else:
            yield cmd.GiveAnswer(run.id, step.id, read_chosen(answer, step.many), WHY)


def _usual(step: Step) -> str:
    """The usual answer of a step; of several ticked ones those usual together."""
    found = [a.id for a in step.answers if a.usual] or [step.answers[0].id]
    return chosen_text(found) if step.many else found[0]


def read_step(line: str) -> WitnessStep:
    """Return the step that a line says. ValueError where it is none."""
    word, _, rest = line.partition(" ")
    name, equals, value = (part.strip() for part in rest.partition("="))
    match word, bool(equals):
        case WitnessVerb.FACT, True:
            return WitnessFact(name, value)
        case WitnessVerb.KNOWN, True:
            return WitnessBelief(name, tuple(value.split("|")))
        case WitnessVerb.REPAIR, True:
            return WitnessRepair(name, RepairOutcome(value))
        case WitnessVerb.OPEN, False:
            return WitnessOpening(StepRef.parse(rest))
        case WitnessVerb.CONFIRM, False:
            return WitnessConfirmation(rest)
        case WitnessVerb.PREPARE, False:
            return WitnessPreparation(rest)
    return AnswerRef.parse(line) if ":" in line else WitnessMove(line)
