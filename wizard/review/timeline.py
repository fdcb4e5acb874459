"""The time line of a session as rows: every event in order, with what a reviewer looks at marked."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine import events as ev
from wizard.review import told
from wizard.review.changes import Change
from wizard.review.replay import Replay


@dataclass(frozen=True, slots=True)
class Row:
    """One event. ``elapsed`` and ``spent`` in seconds; ``aside``: in the end it no longer counted."""

    seq: int
    at: str
    elapsed: float
    spent: float
    kind: str
    inspection: str
    step: str
    says: str
    verdict: str
    safety: str
    change: Change | None
    aside: bool


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay in an inspection: from its opening to where it left the screen, with the seconds spent in it."""

    run: int
    inspection: str
    title: str
    phase: str
    first: int
    last: int
    at: str
    seconds: float
    usual: float
    how: str


def timeline(replay: Replay) -> tuple[Row, ...]:
    """All events as rows."""
    gone = {x.seq for x in replay.end.entries if x.aside}
    changed = {c.seq: c for c in replay.changes}
    rows, elapsed = [], 0.0
    for place, record in enumerate(replay.records, 1):
        before = replay.state(place - 1)
        elapsed = round(elapsed + record.since, 3)
        inspection, step = told.where(before, record.event)
        rows.append(
            Row(
                record.seq, record.at, elapsed, record.since, record.event.kind, inspection, step,
                told.said(replay.flow, before, record.event), str(getattr(record.event, "verdict", "")),
                record.event.state if isinstance(record.event, ev.SafetyChanged) else before.safety,
                changed.get(record.seq), record.seq in gone,
            )
        )  # fmt: skip
    return tuple(rows)


def stays(replay: Replay) -> tuple[Stay, ...]:
    """Every run with the time spent in it, in the order in which they were begun. ``usual`` is in seconds."""
    found = []
    for run in replay.end.runs:
        own = [s for s in replay.steps if s.run == run.id]
        inspection = replay.flow.inspections.get(run.inspection)
        found.append(
            Stay(
                run.id, run.inspection, told.title(replay.flow, run.inspection), run.phase, run.seq,
                max((s.ended for s in own), default=run.seq), run.began,
                round(sum(s.seconds for s in own), 3),
                inspection.minutes * 60.0 if inspection else 0.0, run.how,
            )
        )  # fmt: skip
    return tuple(found)
