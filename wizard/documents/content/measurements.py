"""Everything measured in a session: each item once, before the repair and after it, with the limit that judged it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter

from wizard.domain.vocabulary import AnswerHow, Verdict
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import compute, unit_of
from wizard.engine.measuring.judging import Judged
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.flow.model import ComputeStep, Inspection, JudgedStep, Limit, MeasureStep, Step


@dataclass(frozen=True, slots=True)
class Measured:
    """One item of one step, judged before the repair, after it, or both. ``unit`` is how it is read.

    ``tool`` is what it was read with; empty for what was computed. ``failed_before`` and ``failed_after``: what failed
    there and was read again later, such as on another visit. ``stale``: after it another repair was made, and it was
    not read again.
    """

    inspection: str
    step: str
    title: str
    name: str
    unit: str
    tool: str
    before: Judged | None
    after: Judged | None
    limit: Limit | None
    failed_before: tuple[Judged, ...] = ()
    failed_after: tuple[Judged, ...] = ()
    stale: bool = False

    @property
    def last(self) -> Judged | None:
        """The value that counts now."""
        return self.after or self.before


def measured(view: JobView) -> tuple[Measured, ...]:
    """All that was measured or computed on the machine's faults and still counts, in the flow's order.

    What procedures measure (is it dead?) is of the work's safety and not among it.
    """
    found: list[Measured] = []
    for inspection in view.flow.inspections.values():
        if inspection.procedure:
            continue
        for step in inspection.steps:
            if isinstance(step, JudgedStep):
                found.extend(_of_step(view, inspection, step))
    return tuple(found)


def _of_step(view: JobView, inspection: Inspection, step: Step) -> Iterator[Measured]:
    found = _runs(view, inspection, step)
    before = Items.of([items for items, seq in found if not inspection_queries.after_repair(view, seq)])
    since = [(items, seq) for items, seq in found if inspection_queries.after_repair(view, seq)]
    after = Items.of([items for items, _seq in since])
    stale = bool(since) and since[-1][1] < inspection_queries.last_repair(view)
    limit = judging.limit_of(view, step)
    unit = unit_of(view, step)
    tool = view.flow.tools[step.reading.tool].says if isinstance(step, MeasureStep) else ""
    for name in dict.fromkeys((*before.latest, *after.latest, *before.failed, *after.failed)):
        judged = (before.latest.get(name), after.latest.get(name))
        failed = (before.failed.get(name, ()), after.failed.get(name, ()))
        yield Measured(
            inspection.id,
            step.id,
            inspection.title,
            name,
            unit,
            tool,
            *judged,
            limit if any(j.verdict for j in (*judged, *failed[0], *failed[1]) if j) else None,
            *failed,
            stale,
        )


def _runs(view: JobView, inspection: Inspection, step: Step) -> list[tuple[tuple[Judged, ...], int]]:
    """The step's items of each run that has them, oldest first, and the event at which they were whole."""
    found = []
    for run in inspection_queries.runs_of(view.state, inspection.id):
        if items := judged_in(view, run, step):
            seqs = (g.seq for g in view.state.answers(run.id) if g.step == step.id)
            taken = (t.seq for t in view.state.readings(run.id, step.id))
            found.append((items, max((*seqs, *taken))))
    return found


def earlier(view: JobView, run: Run, step: Step) -> Mapping[str, Judged]:
    """The step's items by name as the last run before this one has them; empty where it was never read before.

    None for a step that is asked before another: what was so of the machine then says nothing of now.
    """
    if run.only:
        return {}
    before = (r for r in inspection_queries.runs_of(view.state, run.inspection) if r.id != run.id)
    read = [items for items in (judged_in(view, r, step) for r in before) if items]
    return {j.name: j for j in read[-1]} if read else {}


@dataclass(frozen=True, slots=True)
class Items:
    """A step's items by name: as the latest run has them, and what failed in the runs before it."""

    latest: Mapping[str, Judged]
    failed: Mapping[str, tuple[Judged, ...]]

    @classmethod
    def of(cls, runs: Sequence[Sequence[Judged]]) -> Items:
        """Those of runs, oldest first."""
        failed: dict[str, tuple[Judged, ...]] = {}
        for one in (j for items in runs[:-1] for j in items if j.verdict is Verdict.FAIL):
            failed[one.name] = (*failed.get(one.name, ()), one)
        return cls({j.name: j for j in runs[-1]} if runs else {}, failed)


def judged_in(view: JobView, run: Run, step: Step) -> tuple[Judged, ...]:
    """The items of a measure or compute step as they stand in one run; none where it was not answered."""
    if isinstance(step, MeasureStep):
        taken = view.state.readings(run.id, step.id)
        return judging.judge_readings(view, step, taken).items if taken else ()
    answered = any(g.step == step.id and g.how is AnswerHow.ANSWER for g in view.state.answers(run.id))
    if not isinstance(step, ComputeStep) or not answered:
        return ()
    outcome = compute(view, run, step)
    return outcome.items if outcome else ()


def worst_of(readings: Sequence[Judged], limit: Limit | None) -> Judged | None:
    """The reading that decides by its limit: the worst verdict; of equal ones the likeliest to fail, then the least
    likely to pass, then the one furthest out of what passes. Without a limit the first; None of none.
    """
    return max(readings, key=lambda judged: _badness(judged, limit), default=None)


def _badness(judged: Judged, limit: Limit | None) -> tuple[int, float, float, float]:
    order = tuple(Verdict).index(judged.verdict) if judged.verdict else -1
    if limit is None:
        return order, 0.0, 0.0, 0.0
    fails, passes = (_chance(judged, limit, v) for v in (Verdict.FAIL, Verdict.PASS))
    return order, fails, -passes, excess(limit, judged.mean)


def _chance(judged: Judged, limit: Limit, verdict: Verdict) -> float:
    chances = judged.chances or {}
    return math.fsum(chances.get(band.id, 0.0) for band in limit.bands if band.verdict is verdict)


def excess(limit: Limit, value: float) -> float:
    """How far a value (SI) lies outside the nearest range that passes; inside one below zero, by how far to its edge.

    0 for a limit that nothing passes.
    """
    low, best = -math.inf, math.inf
    for verdict, run in groupby(limit.bands, key=attrgetter("verdict")):
        top = list(run)[-1].top
        high = math.inf if top is None else top
        if verdict is Verdict.PASS:
            best = min(best, max(low - value, value - high))
        low = high
    return 0.0 if math.isinf(best) else best
