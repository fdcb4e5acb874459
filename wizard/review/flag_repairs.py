"""Flags on repairs: parts without a reason found, sets and companions, fails left alone, no proof, worse after."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from wizard.engine import derive
from wizard.engine.events import Repaired
from wizard.engine.judging import Judged
from wizard.engine.state import Given, Repair, State
from wizard.flow.model import VERDICTS, Fault, Flow, Inspection, Limit, Part
from wizard.review import parts, words
from wizard.review.flag import Flag, Look
from wizard.review.measured import Measured, measured
from wizard.review.speaking import speaks

_OPTIONAL = re.compile(r"\bif\b", re.IGNORECASE)
"""A part that a flow words with 'if' ('Drain pump, if it stalls') is not always due."""


def _fitted(look: Look) -> Iterator[tuple[int, Repaired, Fault]]:
    """Every repair made, with its event's number and its fault."""
    for record in look.replay.records:
        event = record.event
        fault = look.replay.flow.faults.get(event.fault) if isinstance(event, Repaired) else None
        if isinstance(event, Repaired) and event.outcome == "fitted" and fault is not None:
            yield record.seq, event, fault


def part_no_fail(look: Look) -> Iterator[Flag]:
    """A part fitted though no answer and no reading before it spoke for the fault."""
    least = look.number("part-no-fail", "evidence")
    for seq, repair, fault in _fitted(look):
        state = look.replay.state(look.replay.place_of(seq))
        if repair.parts and not any(speaks(look.replay.flow, g, fault, least) for g in _counting(state)):
            fitted = _words(look, repair, fault)
            tests = ", ".join(dict.fromkeys(look.title(w.partition(".")[0]) for w in fault.confirm))
            asked = f" It is tested by: {tests}." if tests else ""
            reason = f" Reason: {words.sentence(repair.reason)}" if repair.reason else ""
            yield look.flag(
                "part-no-fail",
                f"{fault.says}: a part was fitted, and no reading or answer before it failed.",
                f"Fitted: {fitted}.{asked}{reason}",
                seq,
            )


def _counting(state: State) -> Iterator[Given]:
    return (g for g in state.given if not g.aside and g.how == "answer")


def set_incomplete(look: Look) -> Iterator[Flag]:
    """Some of a part fitted, and fewer than make its set on this machine."""
    for seq, repair, fault in _fitted(look):
        fitted = _counts(look, repair, fault)
        for part in fault.remedy.parts:
            due, got = parts.count(part, look.replay.end.facts), fitted.get(part.id, 0)
            if 0 < got < due:
                yield look.flag(
                    "set-incomplete",
                    f"{part.says}: fewer were fitted than make the set.",
                    f"{got} of {due} were fitted.",
                    seq,
                )


def companion_left_out(look: Look) -> Iterator[Flag]:
    """A part of the same remedy that is always due was not fitted with the others."""
    for seq, repair, fault in _fitted(look):
        fitted = _counts(look, repair, fault)
        left = [p for p in fault.remedy.parts if p.id not in fitted and _always(p)]
        if fitted and left:
            yield look.flag(
                "companion-left-out",
                f"{fault.remedy.says}: a part that goes along with it was not fitted.",
                f"Fitted: {_words(look, repair, fault)}. Not among them: {', '.join(p.says for p in left)}.",
                seq,
            )


def _needed(look: Look, repair: Repaired, fault: Fault) -> list[parts.Needed]:
    return [parts.read(code, fault, look.replay.end.facts) for code in repair.parts]


def _words(look: Look, repair: Repaired, fault: Fault) -> str:
    return ", ".join(need.words for need in _needed(look, repair, fault))


def _counts(look: Look, repair: Repaired, fault: Fault) -> dict[str, int]:
    found: dict[str, int] = {}
    for need in _needed(look, repair, fault):
        found[need.id] = found.get(need.id, 0) + need.count
    return found


def _always(part: Part) -> bool:
    return not _OPTIONAL.search(part.says)


def fail_no_action(look: Look) -> Iterator[Flag]:
    """A fail that stands at the close, and nothing was done that deals with it."""
    state, flow = look.replay.end, look.replay.flow
    if state.job != "closed" or state.halt is not None:
        return
    last = {(g.inspection, g.step): g for g in _counting(state)}
    for given in last.values():
        inspection = flow.inspections.get(given.inspection)
        if given.verdict != "fail" or inspection is None or inspection.gate:
            continue
        if not any(_deals(flow, r, given) for r in state.repairs):
            yield look.flag(
                "fail-no-action",
                f"{inspection.title}: a fail, and nothing that was done is about it.",
                f"{words.sentence(given.says or given.answer)} Closed as: "
                f"{words.OUTCOMES.get(state.outcome, state.outcome)}.",
                given.seq,
                f"{given.inspection}.{given.step}",
            )


def _deals(flow: Flow, repair: Repair, given: Given) -> bool:
    """True when the repair (fitted, declined or on order) is of a fault that this answer is about, and came after."""
    fault = flow.faults.get(repair.fault)
    if fault is None or repair.seq < given.seq:
        return False
    places = {p.partition(".")[0] for p in (*fault.confirm, *repair.recheck, *fault.remedy.recheck)}
    shown = any(
        flow.findings[f].weights.get(fault.id, 0.0) > 0.0
        for f, e in given.evidence.items()
        if e >= 0.5 and f in flow.findings
    )
    return given.inspection in places or shown


def no_proving(look: Look) -> Iterator[Flag]:
    """A repair closed, and no step answered while proving after it. A machine left waiting or marked isn't spun."""
    state, flow = look.replay.end, look.replay.flow
    fitted = [r.seq for r in state.repairs if r.outcome == "fitted"]
    tests = [i for i in flow.prove if _proving(flow.inspections[i]) and _applies(flow, state, i)]
    if state.job != "closed" or not fitted or not tests or state.outcome in ("on-order", "stopped"):
        return
    if derive.leaving(flow, state):
        return
    done = [g for g in _counting(state) if g.inspection in tests and g.seq > max(fitted)]
    if not done:
        why = [f"{look.title(i)}: {state.skipped[i][1]}" for i in tests if i in state.skipped]
        yield look.flag(
            "no-proving",
            "The visit was closed without the test that proves the repair.",
            f"Not done: {', '.join(look.title(i) for i in tests)}. "
            f"Reason: {words.sentence('; '.join(why)) if why else 'None was written.'}",
            max(fitted),
        )


def _proving(inspection: Inspection) -> bool:
    return inspection.states == ("proving",)


def _applies(flow: Flow, state: State, inspection: str) -> bool:
    return derive.applies(flow, state, flow.inspections[inspection])


def after_worse(look: Look) -> Iterator[Flag]:
    """A measured value or a look that is worse after the repair than it was before."""
    spread = look.number("after-worse", "spread")
    for one in measured(look.replay.flow, look.replay.end):
        if one.before and one.after and _worse(one, spread):
            yield look.flag(
                "after-worse",
                f"{one.title}: worse after the repair than before.",
                f"{one.name}: {_value(one.before, one)} before, {_value(one.after, one)} after. "
                f"Should be {words.good_range(one.limit) if one.limit else '-'}.".removeprefix(": "),
                _latest(look.replay.end, one.inspection, one.step),
                f"{one.inspection}.{one.step}",
            )
    yield from _looks_worse(look)


def _value(judged: Judged, one: Measured) -> str:
    verdict = f" ({judged.verdict})" if judged.verdict else ""
    return f"{words.value(judged, one.unit)}{verdict}"


def _worse(one: Measured, spread: float) -> bool:
    """By verdict; where both fail alike, by how far off the good range, if clearly so."""
    before, after = one.before, one.after
    assert before is not None and after is not None
    if one.limit is None or not before.verdict or not after.verdict:
        return False
    if before.verdict != after.verdict:
        return VERDICTS.index(after.verdict) > VERDICTS.index(before.verdict)
    further = _off(one.limit, after.mean) - _off(one.limit, before.mean)
    return further > spread * math.hypot(before.uncertainty, after.uncertainty)


def _off(limit: Limit, value: float) -> float:
    """How far a value lies from the nearest passing band; 0 inside one."""
    low, best = -math.inf, math.inf
    for band in limit.bands:
        high = math.inf if band.top is None else band.top
        if band.verdict == "pass":
            best = min(best, max(0.0, low - value, value - high))
        low = high
    return 0.0 if best == math.inf else best


def _latest(state: State, inspection: str, step: str) -> int:
    found = [g.seq for g in _counting(state) if (g.inspection, g.step) == (inspection, step)]
    return max(found, default=0)


def _looks_worse(look: Look) -> Iterator[Flag]:
    rows: dict[tuple[str, str, str], Given] = {
        (g.inspection, g.step, g.phase): g for g in _counting(look.replay.end) if g.verdict
    }
    for (inspection, step, phase), after in rows.items():
        known = look.replay.flow.inspections.get(inspection)
        asked = known.step(step) if known else None
        before = rows.get((inspection, step, "before"))
        if phase != "after" or before is None or asked is None or asked.kind not in ("look", "choose"):
            continue
        if VERDICTS.index(after.verdict) > VERDICTS.index(before.verdict):
            yield look.flag(
                "after-worse",
                f"{look.title(inspection)}: worse after the repair than before.",
                f"{words.sentence(before.says)} Then: {words.sentence(after.says)}",
                after.seq,
                f"{inspection}.{step}",
            )
