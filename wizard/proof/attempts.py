"""Attempts to get past a rule. Each is made on the session as it stands and must be refused.

``restart``, ``break``, ``pause:seconds``, ``correct:inspection.step:answer`` and ``forge:state`` may be done, but then
the step at hand must be refused. ``skip-gate``, ``undo`` and ``answer:inspection.step:answer`` must be refused
themselves. ``open:inspection`` must be refused at the door or at one of the steps gone through the usual way.
"""

from __future__ import annotations

from collections.abc import Callable

from wizard.engine import commands as cmd
from wizard.engine.drive import Driver
from wizard.engine.events import Recorded, SafetyChanged
from wizard.engine.session import Session
from wizard.errors import CaseFailed, Refused
from wizard.flow.case import Attempt, Case, Expect
from wizard.proof.cases import Tried
from wizard.proof.clock import CaseClock
from wizard.proof.script import Script, usual


class Attempts:
    """Tries what a case wants tried on a session that keeps its events in ``records`` and its time in ``clock``."""

    def __init__(self, session: Session, records: list[Recorded], clock: CaseClock) -> None:
        self.session = session
        self._records = records
        self._clock = clock

    def make(self, attempt: Attempt, answer: cmd.Command) -> Tried:
        """Make an attempt; ``answer`` is what would be said to the step at hand. CaseFailed if it can't be made."""
        verb, _, rest = attempt.do.partition(":")
        if verb == "forge":
            refused = self._forged(rest, answer)
        elif verb == "open":
            refused = self._through(rest)
        elif verb in _BREAKS:
            _BREAKS[verb](self, rest)
            refused = _refusal(self.session, answer)
        else:
            refused = _refusal(self.session, self._command(attempt, verb, rest))
            if verb == "correct" and not refused:
                refused = _refusal(self.session, answer)
        return Tried(attempt.at, attempt.do, refused, refused == attempt.refused)

    def _command(self, attempt: Attempt, verb: str, rest: str) -> cmd.Command:
        run = self.session.state.run
        where, _, answer = rest.partition(":")
        inspection, _, step = where.partition(".")
        if run is None:
            raise CaseFailed(f"attempt {attempt.do}: nothing is on screen at {attempt.at}.")
        if verb == "skip-gate":
            return cmd.Skip(run.inspection, "Tried to get past.")
        if verb == "undo":
            return cmd.Undo()
        if verb == "correct":
            return cmd.Correct(self._answered(inspection, step), answer, "Tried to get past.")
        below = [r for r in map(self.session.state.find_run, self.session.state.stack) if r is not None]
        target = next((r for r in below if r.inspection == inspection), run)
        return cmd.Answer(target.id, step, answer)

    def _answered(self, inspection: str, step: str) -> int:
        """The event of the latest answer to a step, 0 if there is none (which is refused as unknown)."""
        given = self.session.state.given
        return max(
            (g.seq for g in given if (g.inspection, g.step) == (inspection, step) and not g.aside), default=0
        )

    def _restart(self, _rest: str) -> None:
        records = tuple(self._records)
        self.session = Session.resume(self.session.flow, records, self._records.append, self._clock)

    def _break(self, _rest: str) -> None:
        self.session.do(cmd.Pause())

    def _pause(self, seconds: str) -> None:
        self._clock.pass_by(float(seconds))

    def _forged(self, state: str, answer: cmd.Command) -> str:
        """What comes of the answer in a journal that was edited to claim a safety state. The session is left alone."""
        was = self.session.state
        event = SafetyChanged(was=was.safety, state=state, why="gate", run=was.run.id if was.run else 0)
        records = [*self._records, Recorded(was.seq + 1, was.at, 0.0, event)]
        return _refusal(
            Session.resume(self.session.flow, tuple(records), records.append, self._clock), answer
        )

    def _through(self, name: str) -> str:
        """What comes of going through an inspection the usual way, tried on a copy. A gate on the way is a refusal."""
        beside: list[Recorded] = []
        copy = Session(self.session.flow, self.session.state, beside.append, self._clock)
        driver = Driver(copy, Script(Case("through", "", Expect(""))))
        refused = _refusal(copy, cmd.Open(name))
        while not refused and (run := copy.state.run) is not None:
            if run.inspection != name:
                return "gate"
            step = driver.step_of(run)
            for command in driver.commands(run, step, usual(step, copy.state.facts, name)):
                refused = refused or _refusal(copy, command)
        return refused


_BREAKS: dict[str, Callable[[Attempts, str], None]] = {
    "restart": Attempts._restart,
    "break": Attempts._break,
    "pause": Attempts._pause,
}


def _refusal(session: Session, command: cmd.Command) -> str:
    """The reason word that a command is refused with, or empty when it was done."""
    try:
        session.do(command)
    except Refused as refusal:
        return refusal.reason
    return ""
