"""Flags on repairs: parts without a reason found, sets and companions, fails left alone, no proof, worse after."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wizard.documents.content.measurements import Measured, excess, measured
from wizard.documents.content.part_counts import part_words
from wizard.documents.text import formatting, limit_text, outcome_text
from wizard.domain.references import Target
from wizard.domain.vocabulary import (
    AnswerHow,
    JobOutcome,
    JobState,
    Phase,
    RepairOutcome,
    StepKind,
    Verdict,
)
from wizard.engine.measuring.judging import Judged
from wizard.engine.messages.events import RepairDone
from wizard.engine.messages.repair_parts import due_parts, set_size
from wizard.engine.queries import inspection_queries, proof_queries
from wizard.engine.queries.machine_view import SUPPLY
from wizard.engine.state.fault_evidence import speaks
from wizard.engine.state.job_state import AnswerRecord, Repair, State
from wizard.flow.model import Fault, Flow, Inspection
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId

LIVE = frozenset(("live",))
"""What the library's condition of power is while it is on."""

_LOOKS = (StepKind.LOOK, StepKind.CHOOSE)
_WORSE = tuple(Verdict)


def _fitted(look: FlagContext) -> Iterator[tuple[int, RepairDone, Fault]]:
    """Every repair made, with its event's number and its fault."""
    for record in look.replay.records:
        event = record.event
        fault = look.replay.flow.faults.get(event.fault) if isinstance(event, RepairDone) else None
        if isinstance(event, RepairDone) and event.outcome is RepairOutcome.FITTED and fault is not None:
            yield record.seq, event, fault


def part_no_fail(look: FlagContext) -> Iterator[Flag]:
    """A part fitted though no answer and no reading before it spoke for the fault."""
    least = look.number(FlagId.PART_NO_FAIL, "evidence")
    for seq, repair, fault in _fitted(look):
        state = look.replay.state(look.replay.place_of(seq))
        if repair.parts and not any(speaks(look.replay.flow, g, fault, least) for g in _counting(state)):
            fitted = part_words(repair.parts, fault)
            tests = ", ".join(dict.fromkeys(look.title(w.inspection) for w in fault.confirm))
            asked = f" It is tested by: {tests}." if tests else ""
            reason = f" Reason: {formatting.sentence(repair.reason)}" if repair.reason else ""
            yield look.flag(
                FlagId.PART_NO_FAIL,
                f"{fault.says}: a part was fitted, and no reading or answer before it failed.",
                f"Fitted: {fitted}.{asked}{reason}",
                seq,
            )


def _counting(state: State) -> Iterator[AnswerRecord]:
    return (g for g in state.answer_records if not g.aside and g.how is AnswerHow.ANSWER)


def set_incomplete(look: FlagContext) -> Iterator[Flag]:
    """Some of a part fitted, and fewer than make its set on this machine."""
    for seq, repair, fault in _fitted(look):
        fitted = _counts(repair)
        for part in fault.remedy.parts:
            due, got = set_size(part, look.replay.end.facts), fitted.get(part.id, 0)
            if 0 < got < due:
                yield look.flag(
                    FlagId.SET_INCOMPLETE,
                    f"{part.says}: fewer were fitted than make the set.",
                    f"{got} of {due} were fitted.",
                    seq,
                )


def companion_left_out(look: FlagContext) -> Iterator[Flag]:
    """A part that is due for what was done was not fitted with the others."""
    for seq, repair, fault in _fitted(look):
        fitted = _counts(repair)
        left = [p for p in due_parts(fault.remedy, repair.alternative) if p.id not in fitted]
        if fitted and left:
            yield look.flag(
                FlagId.COMPANION_LEFT_OUT,
                f"{fault.remedy.says}: a part that goes along with it was not fitted.",
                f"Fitted: {part_words(repair.parts, fault)}. Not among them: {', '.join(p.says for p in left)}.",
                seq,
            )


def _counts(repair: RepairDone) -> dict[str, int]:
    found: dict[str, int] = {}
    for fitted in repair.parts:
        found[fitted.part] = found.get(fitted.part, 0) + fitted.count
    return found


def fail_no_action(look: FlagContext) -> Iterator[Flag]:
    """A fail that stands at the close, and nothing was done that deals with it."""
    state, flow = look.replay.end, look.replay.flow
    if state.job is not JobState.CLOSED or state.stops:
        return
    last = {(g.inspection, g.step): g for g in _counting(state)}
    for given in last.values():
        inspection = flow.inspections.get(given.inspection)
        if given.verdict is not Verdict.FAIL or inspection is None or inspection.procedure:
            continue
        if not any(_deals(flow, r, given) for r in state.repairs):
            yield look.flag(
                FlagId.FAIL_NO_ACTION,
                f"{inspection.title}: a fail, and nothing that was done is about it.",
                f"{formatting.sentence(given.says or given.text)} Closed as: "
                f"{outcome_text.outcome_words(state.outcome)}.",
                given.seq,
                Target(given.inspection, given.step),
            )


def _deals(flow: Flow, repair: Repair, given: AnswerRecord) -> bool:
    """True when the repair (fitted, declined or on order) is of a fault that this answer is about, and came after."""
    fault = flow.faults.get(repair.fault)
    if fault is None or repair.seq < given.seq:
        return False
    again = (*repair.recheck, *fault.remedy.recheck)
    places = {where.inspection for where in again} | {where.inspection for where in fault.confirm}
    shown = any(
        flow.findings[f].weights.get(fault.id, 0.0) > 0.0
        for f, e in given.evidence.items()
        if e >= 0.5 and f in flow.findings
    )
    return given.inspection in places or shown


def no_proving(look: FlagContext) -> Iterator[Flag]:
    """A repair closed, and no proof under power answered after it. A machine left waiting or marked isn't run."""
    view, state = look.replay.end_view, look.replay.end
    fitted = [r.seq for r in state.repairs if r.outcome is RepairOutcome.FITTED]
    tests = [i for i in proof_queries.demanded(view) if _under_power(look, view.flow.inspections[i])]
    waits = state.outcome in (JobOutcome.ON_ORDER, JobOutcome.PUT_OFF, JobOutcome.STOPPED)
    if state.job is not JobState.CLOSED or not fitted or not tests or waits:
        return
    if proof_queries.leaving(view):
        return
    done = [g for g in _counting(state) if g.inspection in tests and g.seq > max(fitted)]
    if not done:
        why = [f"{look.title(i)}: {state.skipped[i][1]}" for i in tests if i in state.skipped]
        yield look.flag(
            FlagId.NO_PROVING,
            "The visit was closed without the test that proves the repair.",
            f"Not done: {', '.join(look.title(i) for i in tests)}. "
            f"Reason: {formatting.sentence('; '.join(why)) if why else 'None was written.'}",
            max(fitted),
        )


def _under_power(look: FlagContext, inspection: Inspection) -> bool:
    """True for a proof with a step that power has to be on for, or is put on in."""
    acts = look.replay.end_view.model.acts
    needs = (acts[ref].needs for ref in inspection.references if ref in acts)
    proof = inspection_queries.proves(look.replay.flow, inspection.id)
    return proof and any(need.get(SUPPLY, frozenset()) >= LIVE for need in needs)


def after_worse(look: FlagContext) -> Iterator[Flag]:
    """A measured value or a look that is worse after the repair than it was before."""
    spread = look.number(FlagId.AFTER_WORSE, "spread")
    for one in measured(look.replay.end_view):
        if one.before and one.after and _worse(one, spread):
            yield look.flag(
                FlagId.AFTER_WORSE,
                f"{one.title}: worse after the repair than before.",
                f"{one.name}: {_value(one.before, one)} before, {_value(one.after, one)} after. "
                f"Should be {limit_text.good_range(one.limit) if one.limit else '-'}.".removeprefix(": "),
                _latest(look.replay.end, one.inspection, one.step),
                Target(one.inspection, one.step),
            )
    yield from _looks_worse(look)


def _value(judged: Judged, one: Measured) -> str:
    verdict = f" ({judged.verdict})" if judged.verdict else ""
    return f"{limit_text.value(judged, one.unit)}{verdict}"


def _worse(one: Measured, spread: float) -> bool:
    """By verdict; where both fail alike, by how far off the good range, if clearly so."""
    before, after = one.before, one.after
    assert before is not None and after is not None
    if one.limit is None or not before.verdict or not after.verdict:
        return False
    if before.verdict != after.verdict:
        return _WORSE.index(after.verdict) > _WORSE.index(before.verdict)
    further = max(0.0, excess(one.limit, after.mean)) - max(0.0, excess(one.limit, before.mean))
    return further > spread * math.hypot(before.uncertainty, after.uncertainty)


def _latest(state: State, inspection: str, step: str) -> int:
    found = [g.seq for g in _counting(state) if (g.inspection, g.step) == (inspection, step)]
    return max(found, default=0)


def _looks_worse(look: FlagContext) -> Iterator[Flag]:
    rows: dict[tuple[str, str, Phase], AnswerRecord] = {
        (g.inspection, g.step, g.phase): g for g in _counting(look.replay.end) if g.verdict
    }
    for (inspection, step, phase), after in rows.items():
        known = look.replay.flow.inspections.get(inspection)
        asked = known.step(step) if known else None
        before = rows.get((inspection, step, Phase.BEFORE))
        if phase is not Phase.AFTER or before is None or asked is None or asked.kind not in _LOOKS:
            continue
        if before.verdict is None or after.verdict is None:
            continue
        if _WORSE.index(after.verdict) > _WORSE.index(before.verdict):
            yield look.flag(
                FlagId.AFTER_WORSE,
                f"{look.title(inspection)}: worse after the repair than before.",
                f"{formatting.sentence(before.says)} Then: {formatting.sentence(after.says)}",
                after.seq,
                Target(inspection, step),
            )
