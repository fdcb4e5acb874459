"""Jobs that wander: random commands on the small test flow, in memory or on disk, every live state kept."""

from __future__ import annotations

from pathlib import Path

from hypothesis import strategies as st

from tests.helpers.jobs import GOOD, HandClock, Job, good
from wizard.domain.vocabulary import AnswerHow, JobState, NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.queries import next_queries
from wizard.engine.session import Session
from wizard.engine.state.fold import fold_all
from wizard.errors import Refused
from wizard.flow.model import reading_of
from wizard.flow.parsing import flow_files
from wizard.sessions.session_store import Store


class Watched(Job):
    """A job whose state after every event is kept as it stood live. With a ``root`` it is written to disk too."""

    def __init__(self, root: Path | None = None, facts: dict[str, str] | None = None) -> None:
        self.clock, self.records, self.live, self.flow = HandClock(), [], [], good()
        self.opened = None
        if root is None:
            write = self.records.append
            self.session = Session.begin(self.flow, "2026-03-02-a", write, self.clock, "R. Vale", "T-1")
            first = self.records
        else:
            self.store = Store(root, self.clock, known=lambda digest: True)
            self.opened = self.store.begin(self.flow, flow_files.read_folder(GOOD), "R. Vale", "T-1")
            self.session, first = self.opened.session, self.on_disk()
        self.live += [fold_all(first[:n]) for n in range(len(first))]
        self.session._write = self._watch(self.session._write)
        while self.state.run is not None:
            self.answer()
        wanted = {"kind": "front-loader", "dampers": "3", "stacked": "no", "serial": "X1", **(facts or {})}
        while open_facts := next_queries.open_facts(self.view):
            self.do(c.SetFact(open_facts[0], wanted[open_facts[0]]))
        self.do(c.SetComplaint("It bangs when it starts to spin."))

    def _watch(self, write):
        """At the moment an event is written, the session still stands as the event before left it."""

        def watched(record):
            self.live.append(self.session.state)
            return write(record)

        return watched

    def on_disk(self):
        return self.store.load(self.opened.name).records

    @property
    def states(self):
        """The state before the first event and after each."""
        return [*self.live, self.session.state]


moves = st.lists(st.tuples(st.integers(0, 22), st.integers(0, 9)), min_size=1, max_size=45)
"""Random moves: which, and a number that picks among what it could be done to."""


def wander(job: Job, moves_made: list[tuple[int, int]]) -> None:
    """Make the moves. What the engine refuses is no move."""
    for which, pick in moves_made:
        job.clock.move(3 + 7 * pick)
        try:
            _MOVES[which](job, pick)
        except Refused:
            continue


def _forward(job, _pick):
    """The usual way on, whatever it is."""
    if job.state.run is not None:
        job.answer()
    elif job.state.job is JobState.WORKING:
        coming = next_queries.next_up(job.view)
        if coming.kind in _OPENED:
            job.do(c.OpenInspection(coming.target, coming.step))
        elif coming.kind is NextKind.RELEASE:
            job.do(c.Release(coming.target, "P. Elm", "looked at and mended"))
        else:
            job.follow(coming)


def _some_answer(job, pick):
    if job.state.run is None:
        return
    run, step = job.step()
    job.do(c.GiveAnswer(run.id, step.id, (step.answers[pick % len(step.answers)].id,)))


def _some_reading(job, pick):
    if job.state.run is None:
        return
    run, step = job.step()
    if reading_of(step):
        job.do(c.TakeReading(run.id, step.id, f"{pick * 9}", pick % 3, pick % 2, sure=True))


def _judge(job, _pick):
    if job.state.run is not None:
        run, step = job.step()
        job.do(c.Judge(run.id, step.id, "enough was read"))


def _unable(job, pick):
    if job.state.run is not None:
        run, step = job.step()
        job.do(
            c.SayUnable(run.id, step.id, "out of reach", (AnswerHow.UNABLE, AnswerHow.NOT_FITTED)[pick % 2])
        )


def _open(job, pick):
    names = list(job.flow.inspections)
    job.do(c.OpenInspection(names[pick % len(names)]))


def _correct(job, pick):
    given = [g for g in job.state.answer_records if not g.aside]
    if given:
        old = given[pick % len(given)]
        step = job.flow.inspections[old.inspection].step(old.step)
        job.do(c.Correct(old.seq, (step.answers[-1].id,), "misheard"))


def _correct_reading(job, pick):
    taken = [t for t in job.state.reading_records if not t.aside]
    if taken:
        job.do(c.CorrectReading(taken[pick % len(taken)].seq, f"{10 + pick}", "misread"))


def _stop(job, pick):
    if pick < 2:
        job.do(c.StopWork(("not-ready", "gas")[pick], "The cable is too short."))


def _make_safe(job, pick):
    if job.state.job is JobState.STOPPED:
        stop = job.state.stops[pick % len(job.state.stops)].stop
        job.do(c.MakeSafe(stop, pick % len(job.flow.stops[stop].make_safe)))


def _slip(job, pick):
    if job.state.job is JobState.STOPPED and pick % 2 and not job.state.stops[-1].done:
        job.do(c.WithdrawStop("The wrong key"))


def _visit(job, _pick):
    if job.state.job is not JobState.WORKING:
        job.do(c.BeginVisit("R. Vale", "T-2", "It is over"))


def _confirm(job, pick):
    job.do(c.Confirm((("dampers-worn",), ("wiring",), ())[pick % 3], "looks like it"))


def _mend(job, pick):
    job.do(c.RecordRepair("dampers-worn", tuple(RepairOutcome)[pick % 3], (PartFitted("damper", 3),), "told"))


def _prepare(job, pick):
    job.do(c.Prepare(("dampers-worn", "wiring", "")[pick % 3]))


def _pause(job, pick):
    if pick < 4:
        job.do(c.Pause())


def _beat(job, pick):
    """The computer was suspended for a while, or not; then the program's heart beats."""
    job.clock.move(20 * pick)
    job.session.beat()


_OPENED = (NextKind.INSPECT, NextKind.LEAVE, NextKind.HANDOVER, NextKind.RECHECK)
_MOVES = [
    *[_forward] * 7,
    _prepare,
    _pause,
    _beat,
    _some_answer,
    _some_reading,
    _judge,
    _unable,
    _open,
    _correct,
    _correct_reading,
    lambda job, pick: job.do(c.Undo()),
    lambda job, pick: job.clock.move(400 * pick, -1.0 if pick == 9 else None) or job.session.touch("12"),
    lambda job, pick: _stop(job, pick) or _make_safe(job, pick) or _slip(job, pick),
    lambda job, pick: _visit(job, pick) or job.do(c.AddNote(f"Note {pick}.")),
    _confirm,
    _mend,
]
