"""Play a case through the engine that live work runs on, with its own clock and a list for a journal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobOutcome
from wizard.engine.answer_source import AnswerSource
from wizard.engine.driver import SEEN_ANEW, Driver
from wizard.engine.guidance.session_ranking import RankedFault, ranking
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import ReadingTaken, Recorded
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.engine.safety.flow_rules import LEFT_IN_USE, LEFT_OUT_OF_USE
from wizard.engine.session import Session
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed, Refused
from wizard.flow.model import Flow
from wizard.flow.model.case import Attempt, Case
from wizard.flowcheck.cases.case_result import UNFINISHED, Passed, Played, Tried, differences
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.cases.forbidden_attempts import Attempts
from wizard.flowcheck.cases.run_answers import run_answers
from wizard.flowcheck.cases.seen_steps import StepWatch
from wizard.flowcheck.model.manual_clock import CaseClock

DAY = 86_400.0
LEAVING = (LEFT_IN_USE, LEFT_OUT_OF_USE)
"""The reaches of one who goes."""
MOST = 1_000
"""The most acts that a job may take; one that takes more goes in a circle."""


def play(
    flow: Flow, case: Case, source: AnswerSource | None = None, watch: StepWatch | None = None
) -> Played:
    """Play a case to its end. Nothing is raised for a case that fails: ``problems`` says what is wrong.

    ``source`` takes the place of the case's own script; then not every answer of the case has to be asked for, nor
    every step seen that it expects. ``watch`` is what notes steps, by default those that the case expects.
    """
    script = Script(case)
    player = _Player(flow, case, source or script, watch)
    stuck = player.run()
    played = _result(flow, case, player, stuck)
    if stuck:
        return replace(played, problems=(stuck,))
    reported = differences(case, played, None if source else script.asked)
    return replace(
        played, problems=tuple(says for _, says in reported), unmet=tuple(key for key, _ in reported)
    )


class _Player:
    """One case under way."""

    def __init__(self, flow: Flow, case: Case, source: AnswerSource, watch: StepWatch | None = None) -> None:
        self.case = case
        self.watch = watch or StepWatch(case.steps.__contains__)
        self.clock = CaseClock()
        self.records: list[Recorded] = []
        session = Session.begin(flow, case.id, self.records.append, self.clock, "Case", case.id)
        self.driver = Driver(session, source, self.clock.pass_by)
        self.tried: list[Tried] = []
        self.at_decision: JobView | None = None
        self._untried = list(case.attempts)

    @property
    def state(self) -> State:
        """Where the job stands."""
        return self.driver.session.state

    def run(self) -> str:
        """Go on until the visit is closed; a sentence on why it can't go on, or nothing."""
        try:
            for _ in range(MOST):
                self._try_attempts()
                before = self.driver.session.view
                self.watch.before(self.driver.session)
                if not self.driver.advance() and not self._come_again():
                    return ""
                self.watch.after(self.driver.session.view)
                if before.state.decided is None and self.state.decided is not None:
                    self.at_decision = before
        except (Refused, CaseFailed) as problem:
            return f"It can't go on at {_place(self.state)}: {problem}"
        return f"It goes in a circle at {_place(self.state)}: {MOST} acts and no end."

    def _come_again(self) -> bool:
        """Begin the next visit, a day later, where the case says what is done on one."""
        session = self.driver.session
        visits = max((len(self.case.repairs.get(f, ())) for f in self.state.decided or ()), default=1)
        if len(self.state.visits) >= visits:
            return False
        self.clock.pass_by(DAY)
        session.do(cmd.BeginVisit("Case", self.case.id, SEEN_ANEW))
        return True

    def _try_attempts(self) -> None:
        """Make every attempt that waits for the step on screen, each once."""
        while (attempt := self._due()) is not None:
            self._untried.remove(attempt)
            run = self.state.run
            assert run is not None
            step = self.driver.step_of(run)
            message = self.driver.source.reply(self.driver.session.view, run, step)
            attempts = Attempts(self.driver.session, self.records, self.clock)
            self.tried.append(attempts.make(attempt, self.driver.commands(run, step, message)[0]))
            self.driver.session = attempts.session

    def _due(self) -> Attempt | None:
        run = self.state.run
        if run is None or not machine_queries.ready(self.driver.session.view):
            return None
        return next((a for a in self._untried if a.at == run.ref), None)


def _place(state: State) -> str:
    return str(state.run.ref) if state.run else "the job map"


def _result(flow: Flow, case: Case, player: _Player, stuck: str) -> Played:
    view, state = player.driver.session.view, player.state
    stopped = state.outcome is JobOutcome.STOPPED and state.stops
    path = path_of(flow, player.records)
    return Played(
        case=case.id,
        flow=flow.id,
        digest=flow.digest,
        problems=(),
        outcome=UNFINISHED if stuck or state.outcome is None else state.outcome.value,
        stop=state.stops[0].stop if stopped else "",
        ranking=_ranked(player.at_decision or view),
        confirmed=state.decided or (),
        minutes=inspection_queries.minutes(view),
        path=path,
        readings=sum(isinstance(r.event, ReadingTaken) for r in player.records),
        left="" if stopped else left_by(path),
        machine=machine_queries.belief(view),
        attempts=tuple(player.tried),
        records=tuple(player.records),
        seen=player.watch.seen,
    )


def left_by(path: tuple[Passed, ...]) -> str:
    """The reach of leaving that the machine was last left with, or empty."""
    return next((p.reach for p in reversed(path) if p.reach in LEAVING), "")


def _ranked(view: JobView) -> tuple[RankedFault, ...]:
    return ranking(view) if inspection_queries.evidence(view) else ()


def path_of(flow: Flow, records: Iterable[Recorded]) -> tuple[Passed, ...]:
    """Every step answered, in order. Corrections are answers too."""
    passed = []
    for run, event in run_answers(records):
        step = flow.inspections[run.inspection].step(event.step)
        reach = step.reach if step is not None else ""
        where = StepRef(run.inspection, event.step)
        passed.append(Passed(where, run.phase, event.chosen, event.how, event.verdict, reach, run.condition))
    return tuple(passed)
