"""What one session says of what trends are of: each step, limit, inspection and repair, once each, as yes or no.

A session counts once of each thing, however often it met it: what happens twice in one job is no second witness. What
does not verify says nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from wizard.archive.tally_kinds import SessionTally, TallyKind
from wizard.domain.vocabulary import AnswerHow, Phase, SkipHow, StepKind, Verdict
from wizard.engine.guidance.evidence_columns import repairs_made
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import compute
from wizard.engine.messages.events import Decided
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import AnswerRecord, Repair
from wizard.engine.state.job_view import JobView
from wizard.flow.model import ComputeStep, MeasureStep, Step, limit_id
from wizard.measure.uncertainty.conformity import SURE
from wizard.review.replay import Replay

STILL = 600.0
"""Seconds beyond a step's own from which on somebody is taken to have done something else."""

HUNDREDTHS = 100.0
"""What logarithms and probabilities are kept in."""


def session_tallies(replay: Replay) -> tuple[SessionTally, ...]:
    """All of a session, each kind and name once."""
    view = replay.end_view
    made = (*_steps(replay), *_inspections(view), *_limits(view), *_ranked(replay), *_proofs(view))
    found = {(one.kind, one.name): one for one in (*made, *session_wide(made))}
    return tuple(found.values())


def session_wide(made: Iterable[SessionTally]) -> Iterator[SessionTally]:
    """Of all steps, inspections and limits of a session one each."""
    of = {
        TallyKind.STEP: TallyKind.STEPS,
        TallyKind.INSPECTION: TallyKind.INSPECTIONS,
        TallyKind.LIMIT: TallyKind.LIMITS,
    }
    hits: dict[TallyKind, bool] = {}
    for one in made:
        if one.kind in of:
            hits[of[one.kind]] = hits.get(of[one.kind], False) or one.hit
    yield from (SessionTally(kind, "", hit) for kind, hit in hits.items())


def _steps(replay: Replay) -> Iterator[SessionTally]:
    """The steps that were answered or left out; what is not fitted was neither."""
    logs: dict[str, list[float]] = {}
    own: dict[str, float] = {}
    left: dict[str, bool] = {}
    for time in replay.steps:
        if time.how is AnswerHow.NOT_FITTED or time.inspection not in replay.flow.inspections:
            continue
        name, out = str(time.ref), time.how is AnswerHow.UNABLE
        left[name] = left.get(name, False) or out
        usual = _usual(replay.flow.step(time.ref))
        if usual and not out and 0.0 < time.seconds <= usual + STILL:
            logs.setdefault(name, []).append(math.log(time.seconds / usual))
            own[name] = usual
    for name, out in left.items():
        some = logs.get(name, ())
        amount = round(HUNDREDTHS * sum(some) / len(some)) if some else 0
        yield SessionTally(TallyKind.STEP, name, out, amount, round(own.get(name, 0.0)))


def _usual(step: Step | None) -> float:
    """The seconds that a flow gives a step; 0 for what the program computes by itself."""
    return 0.0 if step is None or step.kind is StepKind.COMPUTE else step.minutes * 60.0


def _inspections(view: JobView) -> Iterator[SessionTally]:
    """The inspections that were gone through, or left out with a reason."""
    entered = {run.inspection for run in view.state.runs if not run.only}
    out = {name for name, (how, _why) in view.state.skipped.items() if how is SkipHow.SKIPPED}
    for name in sorted((entered | out) & view.flow.inspections.keys()):
        yield SessionTally(TallyKind.INSPECTION, name, name in out)


def _limits(view: JobView) -> Iterator[SessionTally]:
    """The limits that something was judged by; near: no band holds it with enough probability."""
    near: dict[str, bool] = {}
    for given in view.state.answer_records:
        step = view.flow.step(given.ref) if given.inspection in view.flow.inspections else None
        if (
            given.aside
            or given.how is not AnswerHow.ANSWER
            or not isinstance(step, MeasureStep | ComputeStep)
        ):
            continue
        if name := limit_id(step):
            chances = [max(one.chances.values()) for one in _judged(view, given, step) if one.chances]
            if chances:
                near[name] = near.get(name, False) or min(chances) < SURE
    for name, close in near.items():
        yield SessionTally(TallyKind.LIMIT, name, close)


def _judged(
    view: JobView, given: AnswerRecord, step: MeasureStep | ComputeStep
) -> tuple[judging.Judged, ...]:
    if isinstance(step, MeasureStep):
        return judging.judge_readings(view, step, view.state.readings(given.run, given.step)).items
    run = view.state.find_run(given.run)
    outcome = compute(view, run, step) if run is not None else None
    return outcome.items if outcome else ()


def _ranked(replay: Replay) -> Iterator[SessionTally]:
    """The fault that was ranked first when something was first decided, and whether it was confirmed in the end."""
    places = (p for p, r in enumerate(replay.records, 1) if isinstance(r.event, Decided))
    place, state = next(places, 0), replay.end
    ranked = replay.ranked(place - 1) if place and state.decided is not None else ()
    if not ranked:
        return
    first = ranked[0]
    holding = {r.fault for r in state.repairs if r.holds}
    confirmed = first.fault in (*(state.decided or ()), *holding)
    yield SessionTally(TallyKind.RANKED, first.fault, not confirmed, round(HUNDREDTHS * first.probability))


def _proofs(view: JobView) -> Iterator[SessionTally]:
    """The repairs that were put to a proof; hit: one of them failed it. Of parts those that were fitted in them."""
    failed: dict[tuple[TallyKind, str], bool] = {}
    for repair in repairs_made(view):
        proofs = [g for g in view.state.answer_records if _proves(view, repair, g)]
        if not proofs:
            continue
        wrong = any(g.verdict is Verdict.FAIL for g in proofs)
        things = [(TallyKind.PROOF, ""), (TallyKind.PROOF_FAULT, repair.fault)]
        things += [(TallyKind.PROOF_PART, part.part) for part in repair.parts if part.count]
        for thing in things:
            failed[thing] = failed.get(thing, False) or wrong
    for (kind, name), wrong in failed.items():
        yield SessionTally(kind, name, wrong)


def _proves(view: JobView, repair: Repair, given: AnswerRecord) -> bool:
    """Whether an answer judges a repair: in a proof or where it is measured again, after it."""
    if given.aside or given.verdict is None or given.phase is not Phase.AFTER or given.seq < repair.seq:
        return False
    again = {where.inspection for where in repair.recheck}
    return given.inspection in again or inspection_queries.proves(view.flow, given.inspection)
