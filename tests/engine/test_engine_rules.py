"""No sequence of commands gets past a gate: a state machine of hypothesis over the engine."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)
from jobs import Job, good

from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine import events as ev
from wizard.engine.audit import audit
from wizard.engine.draft import Rules
from wizard.engine.fold import fold, fold_all
from wizard.engine.safety import LAPSE_AFTER, holds
from wizard.engine.session import Session
from wizard.engine.state import State
from wizard.errors import Refused

INSPECTIONS = st.sampled_from(sorted(good().inspections))
FAULTS = st.sampled_from(sorted(good().faults))
STEPS = sorted({s.id for i in good().inspections.values() for s in i.steps})
ANSWERS = sorted({a.id for i in good().inspections.values() for s in i.steps for a in s.answers})


class AnyOrder(RuleBasedStateMachine):
    """Whatever is tried, in whatever order, an answer is taken only where its safety state holds."""

    @initialize()
    def begin(self) -> None:
        self.job = Job()
        self.seen = len(self.job.records)

    def attempt(self, command: c.Command) -> None:
        try:
            self.job.do(command)
        except Refused as refusal:
            assert str(refusal)

    @rule(inspection=INSPECTIONS)
    def open(self, inspection: str) -> None:
        self.attempt(c.Open(inspection))

    @rule(inspection=INSPECTIONS, step=st.sampled_from(STEPS), phase=st.sampled_from(("before", "after")))
    def open_in_the_middle(self, inspection: str, step: str, phase: str) -> None:
        self.attempt(c.Open(inspection, step, phase))

    @rule(times=st.integers(1, 8))
    def usual(self, times: int) -> None:
        for _ in range(times):
            if self.job.state.run is None:
                return
            try:
                self.job.answer()
            except Refused:
                return

    @rule(times=st.integers(1, 12))
    def in_order(self, times: int) -> None:
        """Follow the flow's own order for a while, so that the late states are reached."""
        for _ in range(times):
            if self.job.state.job != "working":
                return
            try:
                self.job.answer() if self.job.state.run else self.job.follow(
                    derive.next_up(self.job.flow, self.job.state)
                )
            except (Refused, KeyError):
                return

    @rule(inspection=st.sampled_from(("dampers", "motor", "hoses", "spin", "handover")))
    def straight_to(self, inspection: str) -> None:
        if self.job.state.job == "working":
            try:
                self.job.through(inspection)
            except Refused:
                return

    @rule(answer=st.sampled_from(ANSWERS))
    def odd_answer(self, answer: str) -> None:
        if (run := self.job.state.run) is not None:
            self.attempt(c.Answer(run.id, run.at, answer))

    @rule(run=st.integers(0, 9), step=st.sampled_from(STEPS), answer=st.sampled_from(ANSWERS))
    def late_answer(self, run: int, step: str, answer: str) -> None:
        self.attempt(c.Answer(run, step, answer))

    @rule(typed=st.sampled_from(("18", "62", "-4", "1e9", "abc", "3 ft", "")), sure=st.booleans())
    def reading(self, typed: str, sure: bool) -> None:
        if (run := self.job.state.run) is not None:
            self.attempt(c.TakeReading(run.id, run.at, typed, sure=sure))

    @rule(reason=st.sampled_from(("", "can't reach it")), how=st.sampled_from(("unable", "not-fitted")))
    def unable(self, reason: str, how: str) -> None:
        if (run := self.job.state.run) is not None:
            self.attempt(c.Unable(run.id, run.at, reason, how))

    @rule(inspection=INSPECTIONS, recheck=st.booleans())
    def skip(self, inspection: str, recheck: bool) -> None:
        self.attempt(c.Skip(inspection, "no time", recheck=recheck))

    @rule()
    def undo(self) -> None:
        self.attempt(c.Undo())

    @rule(data=st.data())
    def correct(self, data: st.DataObject) -> None:
        given = [g for g in self.job.state.given if not g.aside]
        if given:
            g = data.draw(st.sampled_from(given))
            step = self.job.flow.inspections[g.inspection].step(g.step)
            self.attempt(c.Correct(g.seq, data.draw(st.sampled_from(step.answers)).id, "misread"))

    @rule(data=st.data(), typed=st.sampled_from(("12", "70", "x")))
    def correct_reading(self, data: st.DataObject, typed: str) -> None:
        if taken := [t for t in self.job.state.taken if not t.aside]:
            self.attempt(c.CorrectReading(data.draw(st.sampled_from(taken)).seq, typed, "misread"))

    @rule(fact=st.sampled_from((("dampers", "2"), ("kind", "top-loader"), ("kind", "front-loader"))))
    def correct_fact(self, fact: tuple[str, str]) -> None:
        self.attempt(c.SetFact(*fact, reason="looked again"))
        while facts := derive.open_facts(self.job.flow, self.job.state):
            self.attempt(c.SetFact(facts[0], "2"))

    @rule(faults=st.lists(FAULTS, max_size=2))
    def confirm(self, faults: list[str]) -> None:
        self.attempt(c.Confirm(tuple(faults), "changed my mind"))

    @rule(fault=FAULTS, outcome=st.sampled_from(("fitted", "declined", "on-order")))
    def mend(self, fault: str, outcome: str) -> None:
        self.attempt(c.Mend(fault, outcome, reason="told"))

    @rule(
        command=st.sampled_from((c.Pause(), c.Leave(), c.GoOn(), c.Close(), c.BeginVisit(), c.AddNote("x")))
    )
    def plain(self, command: c.Command) -> None:
        self.attempt(command)

    @rule(stop=st.sampled_from(sorted(good().stops)), rarely=st.integers(0, 5))
    def stop_and_come_back(self, stop: str, rarely: int) -> None:
        if rarely:
            return
        self.attempt(c.StopWork(stop))
        for line in range(4):
            self.attempt(c.MakeSafe(line))
        self.attempt(c.Close())
        self.attempt(c.BeginVisit())
        self.attempt(c.NamePerson("M. Oak"))

    @rule()
    def restart(self) -> None:
        records = list(self.job.records)
        assert fold_all(records) == self.job.state
        self.job.session = Session.resume(
            self.job.flow, tuple(records), self.job.records.append, self.job.clock
        )
        assert self.job.state.safety in ("covered", "stopped")

    @rule(seconds=st.sampled_from((30.0, LAPSE_AFTER + 3600.0, -50.0)), mono=st.sampled_from((30.0, 9000.0)))
    def clock_jumps(self, seconds: float, mono: float) -> None:
        self.job.clock.move(seconds, mono)

    @invariant()
    def new_answers_were_given_where_their_state_held(self) -> None:
        """Folded from the journal alone, not from what the engine thinks of itself."""
        if not hasattr(self, "job"):
            return
        state = fold_all(self.job.records[: self.seen])
        for record in self.job.records[self.seen :]:
            self.check(state, record.event)
            state = fold(state, record)
        self.seen = len(self.job.records)
        assert state == self.job.state

    def check(self, state: State, event: ev.Event) -> None:
        if isinstance(event, ev.Answered) and not event.instead_of:
            inspection = self.job.flow.inspections[state.find_run(event.run).inspection]
            assert holds(inspection, derive.stance(state))
            step = inspection.step(event.step)
            if "spin" in step.does:
                assert state.safety == "proving" or (state.safety == "covered" and state.restored)
                assert not any("spin" in self.job.flow.bars[b].forbids for b in derive.bars(state))
        if isinstance(event, ev.SafetyChanged) and event.state not in ("covered", "stopped"):
            assert event.why in ("gate", "closed-up", "voided")
            if event.why == "gate":
                self.check_gate(state, event)

    def check_gate(self, state: State, event: ev.SafetyChanged) -> None:
        """Every step on the gate's path was answered, in this run, since the last change of state."""
        given = [g for g in state.given if g.run == event.run and not g.aside]
        since = max((g.seq for g in state.gates), default=0)
        assert given and given[-1].goes == "end" and all(g.how == "answer" for g in given)
        assert all(g.seq > since for g in given)

    def teardown(self) -> None:
        if hasattr(self, "job"):
            assert audit(Rules.of(good()), self.job.records) == ()


AnyOrder.TestCase.settings = settings(
    max_examples=80, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck)
)
TestAnyOrder = AnyOrder.TestCase


@pytest.mark.nightly
def test_no_long_sequence_gets_past_a_gate():
    """The same for longer: 'pytest -m nightly tests/engine'."""
    run_state_machine_as_test(
        AnyOrder,
        settings=settings(
            max_examples=400,
            stateful_step_count=60,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
