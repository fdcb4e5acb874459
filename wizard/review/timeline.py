"""The time line of a session as rows: every event in order, with what a reviewer looks at marked."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from wizard.domain.references import Target
from wizard.domain.vocabulary import Phase, RunStatus, Verdict
from wizard.engine.messages import events as ev
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import Run
from wizard.review import event_text
from wizard.review.changes import Change
from wizard.review.replay import Replay


@dataclass(frozen=True, slots=True)
class TimelineRow:
    """One event. ``elapsed`` and ``stay`` in seconds; ``safety``: the words of the badge after it; ``aside``: in
    the end it no longer counted.
    """

    seq: int
    at: str
    elapsed: float
    stay: float
    kind: EventKind
    where: Target | None
    says: str
    verdict: Verdict | None
    safety: tuple[str, ...]
    change: Change | None
    aside: bool

    def as_table(self) -> dict[str, Any]:
        """It as plain values, for programs."""
        at, change = self.where, self.change.as_table() if self.change else None
        place, verdict = (at.inspection, at.step) if at else ("", ""), self.verdict or ""
        more = {"inspection": place[0], "step": place[1], "verdict": verdict, "change": change}
        return {key: value for key, value in asdict(self).items() if key != "where"} | more


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay in an inspection: from its opening to where it left the screen, with the seconds spent in it."""

    run: int
    inspection: str
    title: str
    phase: Phase
    first: int
    last: int
    at: str
    seconds: float
    usual: float
    how: RunStatus


def timeline(replay: Replay) -> tuple[TimelineRow, ...]:
    """All events as rows."""
    gone = {x.seq for x in replay.end.entries if x.aside}
    changed = {c.seq: c for c in replay.changes}
    rows, elapsed = [], 0.0
    for place, record in enumerate(replay.records, 1):
        before = replay.view(place - 1)
        elapsed = round(elapsed + record.since, 3)
        where = event_text.where(before.state, record.event)
        rows.append(
            TimelineRow(
                record.seq, record.at, elapsed, record.since, record.event.kind, where,
                event_text.event_words(before, record.event),
                record.event.verdict if isinstance(record.event, ev.Answered) else None,
                replay.badges[place - 1].words,
                changed.get(record.seq), record.seq in gone,
            )
        )  # fmt: skip
    return tuple(rows)


def stays(replay: Replay) -> tuple[Stay, ...]:
    """Every run with the time spent in it, in the order in which they were begun. ``usual`` is in seconds."""
    found = []
    for run in replay.end.runs:
        own = [s for s in replay.steps if s.run == run.id]
        found.append(
            Stay(
                run.id, run.inspection, replay.flow.title_of(run.inspection), run.phase, run.seq,
                max((s.ended for s in own), default=run.seq), run.began,
                round(sum(s.seconds for s in own), 3),
                _usual(replay, run), run.how,
            )
        )  # fmt: skip
    return tuple(found)


def _usual(replay: Replay, run: Run) -> float:
    known = run.inspection in replay.flow.inspections
    return inspection_queries.run_minutes(replay.flow, run) * 60.0 if known else 0.0
