"""Follow a witness through the real engine: a path as lines of text, done one after the other.

A line is one of: ``fact ID = VALUE``, ``known CONDITION = VALUE|VALUE`` (believed from here on, whoever told),
``open INSPECTION`` (or INSPECTION.STEP), ``INSPECTION.STEP: ANSWER`` (a verdict where the step is measured,
``unable``, ``usual``, or answers joined by ``+``), ``leave``, ``undo``, ``correct INSPECTION.STEP: ANSWER``,
``break``, ``restart``, ``lapse``, ``stop ID``, ``safe`` (all of the make-safe lists), ``release CONDITION``,
``visit``, ``skip INSPECTION``, ``confirm FAULT`` (or none), ``prepare FAULT``, ``repair FAULT: OUTCOME`` and
``close``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum, unique
from itertools import pairwise

from wizard.domain.chosen_answers import USUAL, chosen_text, read_chosen
from wizard.domain.vocabulary import AnswerHow, JobState, Phase, RefusalReason, RepairOutcome
from wizard.engine.driver import SEEN_ANEW
from wizard.engine.measuring import judging
from wizard.engine.measuring.reading_input import within
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Recorded, Widened
from wizard.engine.messages.repair_parts import usual_alternative
from wizard.engine.session import Session
from wizard.engine.state import queries
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import ReadingRecord, State
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed, Refused
from wizard.flow.model import ComputeStep, Flow, MeasureStep, Step
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.measure.quantities import units
from wizard.safety import WideningReason, changed

LONG = 86_400.0
"""Seconds that are a lapse at any step."""

WHY = "Following a witness."


@unique
class WitnessVerb(StrEnum):
    """How a line of a witness begins that is no answer and no fact."""

    LAPSE = "lapse"
    RESTART = "restart"
    VISIT = "visit"
    SAFE = "safe"
    KNOWN = "known"
    OPEN = "open"
    STOP = "stop"
    SKIP = "skip"
    CONFIRM = "confirm"
    PREPARE = "prepare"
    REPAIR = "repair"
    RELEASE = "release"
    CORRECT = "correct"


@dataclass(frozen=True, slots=True)
class Followed:
    """How far a witness was followed. ``refused`` is the reason that its line ``at`` (from 0) was refused for; all
    lines were done when it is None. ``states`` holds the state after each line that was done.
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


def follow(flow: Flow, witness: Iterable[str]) -> Followed:
    """Follow a witness as far as the engine allows. CaseFailed if a line can't be read, or doesn't fit the screen."""
    lines = list(witness)
    facts = dict(_fact(line) for line in lines if line.startswith("fact "))
    walker = Walker(flow, facts)
    states = [walker.session.state]
    for number, line in enumerate(lines):
        try:
            if not line.startswith("fact "):
                walker.act(line)
        except Refused as refusal:
            return Followed(tuple(states), tuple(walker.records), number, refusal.reason, str(refusal))
        states.append(walker.session.state)
    return Followed(tuple(states), tuple(walker.records), len(lines))


def _fact(line: str) -> tuple[str, str]:
    name, _, value = line.removeprefix("fact ").partition("=")
    return name.strip(), value.strip()


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
            for command in self.answer(f"{run.inspection}.{run.at}", USUAL):
                self.session.do(command)
        while (
            coming := queries.open_facts(self.session.view)
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

    def act(self, line: str) -> None:
        """Do one line."""
        verb, _, rest = line.partition(" ")
        simple = _SIMPLE.get(line)
        if simple is not None:
            self.session.do(simple)
        elif verb == WitnessVerb.LAPSE:
            self.clock.pass_by(LONG)
            self.session.touch()
        elif verb == WitnessVerb.RESTART:
            told = tuple(self.records)
            self.session = Session.resume(self.flow, told, self.records.append, self.clock)
        elif verb == WitnessVerb.VISIT:
            self.session.do(cmd.BeginVisit("Witness", reason=SEEN_ANEW))
        elif line == WitnessVerb.SAFE:
            for stoppage in self.session.state.stops:
                for number in range(len(self.flow.stops[stoppage.stop].make_safe)):
                    self.session.do(cmd.MakeSafe(stoppage.stop, number))
        elif verb == WitnessVerb.KNOWN:
            self.know(*_fact(line.removeprefix("known ")))
        elif verb.endswith(":"):
            for command in self.answer(verb.removesuffix(":"), rest):
                self.session.do(command)
        else:
            self.session.do(self.command(line, verb, rest))

    def know(self, condition: str, values: str) -> None:
        """Believe this from here on; no command does so, and an audit would say that."""
        view = self.session.view
        state, model, before = view.state, view.model, queries.belief(view)
        after = model.settle({**before, condition: frozenset(values.split("|"))})
        event = Widened(why=WideningReason.PERSON, belief=changed(before, after))
        record = Recorded(state.seq + 1, state.at, 0.0, event)
        self.records.append(record)
        self.session.view = view.at(fold(state, record))

    def command(self, line: str, verb: str, rest: str) -> cmd.Command:
        """The command of a line that isn't an answer."""
        first, _, second = (part.strip() for part in rest.partition(":"))
        match verb:
            case WitnessVerb.OPEN:
                inspection, _, step = rest.partition(".")
                return cmd.OpenInspection(inspection, step)
            case WitnessVerb.STOP:
                return cmd.StopWork(rest)
            case WitnessVerb.SKIP:
                return cmd.Skip(rest, WHY)
            case WitnessVerb.CONFIRM:
                return cmd.Confirm(read_chosen(rest, many=True), WHY)
            case WitnessVerb.PREPARE:
                return cmd.Prepare(rest)
            case WitnessVerb.REPAIR:
                way = usual_alternative(self.flow.faults[first].remedy)
                return cmd.RecordRepair(first, RepairOutcome(second), reason=WHY, alternative=way)
            case WitnessVerb.RELEASE:
                return cmd.Release(rest, "Witness", WHY)
            case WitnessVerb.CORRECT:
                return self._correction(first, second)
        raise CaseFailed(f'"{line}" is no line of a witness.')

    def _correction(self, where: str, said: str) -> cmd.Correct:
        """What puts another answer in place of the last one of this step."""
        inspection, _, name = where.partition(".")
        known = self.flow.inspections.get(inspection)
        step = known.step(name) if known is not None else None
        given = self.session.state.given
        last = max((g.seq for g in given if f"{g.inspection}.{g.step}" == where and not g.aside), default=0)
        return cmd.Correct(last, read_chosen(said, step is not None and step.many), WHY)

    def answer(self, where: str, answer: str) -> Iterator[cmd.Command]:
        """The commands that answer the step on screen, which must be the one that the line names."""
        state = self.session.state
        run = state.run
        if run is None or f"{run.inspection}.{run.at}" != where:
            on_screen = f"{run.inspection}.{run.at}" if run else "the job map"
            raise CaseFailed(f"{where} is to be answered, but {on_screen} is on screen.")
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


_SIMPLE: dict[str, cmd.Command] = {
    "leave": cmd.Leave(),
    "undo": cmd.Undo(),
    "break": cmd.Pause(),
    "close": cmd.Close(),
}


def value_for(view: JobView, step: MeasureStep, verdict: str) -> float:
    """A reading (SI) that the step's limit judges so on this machine. CaseFailed when no value is."""
    for value in _candidates(view, step):
        slots = judging.slots(step.reading, view.state.facts)
        taken = [
            ReadingRecord(
                0, "", 0, 0, "", step.id, Phase.BEFORE, s.item, s.way, s.repeat, value, "", "", "", ""
            )
            for s in slots
        ]
        if judging.judge_readings(view, step, taken).answer == verdict:
            return value
    raise CaseFailed(f"No reading of {step.id} is judged {verdict}.")


def _candidates(view: JobView, step: MeasureStep) -> Iterator[float]:
    reading = step.reading
    if (usual := judging.usual_of(view, step)) is not None:
        yield usual
    limit = judging.limit_of(view, step)
    tops = [b.top for b in limit.bands if b.top is not None] if limit else []
    edges = sorted({reading.low, *(t for t in tops if within(reading, t)), reading.high})
    for low, high in pairwise(edges):
        yield from ((low + high) / 2, low, high)
