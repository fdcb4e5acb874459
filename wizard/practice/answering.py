"""What a machine, and the people at it, answer to one step: by what it senses, by chances, or as usual."""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from wizard.domain.references import StepRef
from wizard.engine.answer_source import Reply, ReplyHow
from wizard.engine.measuring import judging
from wizard.engine.queries import machine_queries
from wizard.engine.state.job_view import JobView
from wizard.flow.model import MeasureStep, Step
from wizard.flowcheck.cases.case_script import usual
from wizard.measure.quantities.units import from_si, span_to_si
from wizard.practice.declaring.answer_tables import Chance, Sense, TickRule
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.machines.practice_machine import Machine
from wizard.practice.observables import OBSERVABLES
from wizard.practice.observables.observable import Readout
from wizard.practice.reading_noise import ReadingNoise
from wizard.safety import Belief

NOT_TO_HAND = "The tool is not to hand."


@dataclass(frozen=True, slots=True)
class Crew:
    """The people of one job: how often this customer errs, this technician slips, and which tools are not to hand."""

    errs: float
    slips: float
    misreads: float
    missing: frozenset[str]


def draw_crew(practice: Practice, rng: Generator) -> Crew:
    """Return the people of a job. Customers differ: one errs up to twice as often as the mean, another never."""
    people = practice.people
    missing = frozenset(tool for tool, p in people.missing.items() if rng.random() < p)
    return Crew(float(rng.uniform(0.0, 2 * people.errs)), people.slips, people.misreads, missing)


@dataclass(frozen=True, slots=True)
class StepQuestion:
    """A step that is asked of a machine: for the ``turn``-th time, from 0."""

    view: JobView
    where: StepRef
    step: Step
    turn: int


def reply(practice: Practice, machine: Machine, crew: Crew, asked: StepQuestion) -> Reply:
    """Return what is said to a step. The same machine, step and turn give the same answer."""
    rule, step = practice.rules.get(asked.where), asked.step
    fresh = generator(machine, asked.where, asked.turn + 1)
    if isinstance(step, MeasureStep):
        return _read(rule if isinstance(rule, Sense) else None, machine, crew, asked, fresh)
    if isinstance(rule, tuple):
        return _ticked(rule, machine, crew, asked, fresh)
    if step.many:
        return Reply(ReplyHow.ANSWER, tuple(_believed(step, machine_queries.belief(asked.view))))
    if rule is None:
        return usual(asked.view, step, asked.where)
    if isinstance(rule, Sense):
        right = _banded(rule, _blurred(rule, machine, fresh))
    else:
        right = chance_answer(rule, machine, step, generator(machine, asked.where, 0))
    answered = _slip(step, right, crew.errs if rule.customer else crew.slips, fresh)
    return Reply(ReplyHow.ANSWER, (answered,))


def generator(machine: Machine, where: StepRef, turn: int) -> Generator:
    """Return the chances of one machine at one step and turn; turn 0 is what lasts as long as the machine does."""
    return np.random.default_rng((machine.lot, zlib.crc32(str(where).encode()), turn))


def chance_answer(rule: Chance, machine: Machine, step: Step, rng: Generator) -> str:
    """Return the first answer that is drawn, each by the chances of the faults that are there; else the usual one."""
    for seen in rule.seen:
        missed = 1 - seen.healthy
        for fault, severity in machine.faults.items():
            missed *= 1 - seen.by[fault][severity.rank] if fault in seen.by else 1.0
        if rng.random() < 1 - missed:
            return seen.answer
    return rule.usual or (step.usual.id if step.usual is not None else step.answers[0].id)


def _blurred(rule: Sense | TickRule, machine: Machine, rng: Generator) -> float:
    """Return an observable as an eye or a hand takes it, in its unit."""
    seen = OBSERVABLES[rule.reads]
    return from_si(seen.value(machine), seen.unit) + (float(rng.normal(0.0, rule.blur)) if rule.blur else 0.0)


def _banded(rule: Sense, value: float) -> str:
    """Return the answer in whose band a value lies."""
    return next(b.answer for b in rule.answers if b.up_to is None or value <= b.up_to)


def _slip(step: Step, right: str, rate: float, rng: Generator) -> str:
    """Return the right answer, or now and then one beside it; never one that stops work."""
    if rng.random() >= rate:
        return right
    ids = [a.id for a in step.answers if not a.stop and not (a.then and a.most)]
    at = ids.index(right) if right in ids else -1
    beside = [ids[n] for n in (at - 1, at + 1) if at >= 0 and 0 <= n < len(ids)]
    return str(rng.choice(beside)) if beside else right


def _ticked(
    rules: Sequence[TickRule], machine: Machine, crew: Crew, asked: StepQuestion, rng: Generator
) -> Reply:
    """Return the lines that are ticked, each erred in on its own; those without a rule as usual. Of places no more than
    the machine has.
    """
    answered = {}
    for rule in rules:
        wrong = rng.random() < (crew.errs if rule.customer else crew.slips)
        answered[rule.answer] = (_blurred(rule, machine, rng) > rule.above) != wrong
    found = tuple(a.id for a in asked.step.answers if answered.get(a.id, a.usual and not asked.step.where))
    found = found[: judging.place_count(asked.step, asked.view.state.facts)]
    if asked.step.where and not found:
        return usual(asked.view, asked.step, asked.where)
    return Reply(ReplyHow.ANSWER, found)


def _believed(step: Step, belief: Belief) -> Iterator[str]:
    """Yield the lines to tick of a step that asks what is known: usual ones that nothing speaks against, and those
    whose opposite is ruled out.
    """
    for answer in step.answers:
        fits = all(values & belief.get(c, values) for c, values in answer.so.items())
        otherwise = any(not values & belief.get(c, values) for c, values in answer.unticked_so.items())
        if (answer.usual and fits) or (not answer.usual and otherwise):
            yield answer.id


def _read(rule: Sense | None, machine: Machine, crew: Crew, asked: StepQuestion, rng: Generator) -> Reply:
    """Return readings of every slot, typed; or that the tool isn't there, where the job can go on without it."""
    step, view = asked.step, asked.view
    assert isinstance(step, MeasureStep)
    tool = view.flow.tools[step.reading.tool]
    if tool.id in crew.missing and not step.unable.stop:
        return Reply(ReplyHow.UNABLE, reason=NOT_TO_HAND)
    if rule is None:
        given = judging.usual_of(view, step)
        truth: Readout = ((given if given is not None else step.reading.low,),)
        blur = 0.0
    else:
        seen = OBSERVABLES[rule.reads]
        truth, blur = seen.read(machine), span_to_si(rule.blur, seen.unit)
    noise = ReadingNoise.of(step.reading, tool, blur, crew.misreads, rng)
    slots = judging.slots(step.reading, view.state.facts)
    return Reply(ReplyHow.READINGS, typed=tuple(noise.typed(_at(truth, s.item, s.way), rng) for s in slots))


def _at(truth: Readout, item: int, way: int) -> float:
    """Return the true value of an item and way: one item stands for all, one way for each."""
    row = truth[item if len(truth) > 1 else 0]
    return row[way if len(row) > 1 else 0]
