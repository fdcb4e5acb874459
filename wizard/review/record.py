"""The technician's full record of a session, as Markdown: everything that the trade keeps. A pure function.

Contents: common practice of the trade: ticket and visits, machine, complaint, each gate entry with its readings, each
step's result, each reading with unit, tool, place and repeats, the limits used with their source, parts, declined
work with the risk told, notes and photos, minutes, the flow's version, the technician and the second person.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, tzinfo

from wizard.engine import closing, derive, judging
from wizard.engine.sheets import sheet_limits
from wizard.engine.state import Given, Repair, State, Taken
from wizard.flow.model import Fault, Flow
from wizard.review import parts, words
from wizard.review.pictures import rulers
from wizard.review.pictures.steps import in_markdown
from wizard.review.standing import standing_bars, standing_debts
from wizard.review.words import safe, sentence
from wizard.review.work import work


def record(flow: Flow, state: State, zone: tzinfo = UTC) -> str:
    """The full record of a session; times are shown in ``zone``."""
    sections = [
        _job(flow, state, zone),
        _machine(flow, state),
        _safety(flow, state, zone),
        work(flow, state, zone),
        in_markdown(flow, state),
        rulers.in_markdown(flow, state),
        _skipped(flow, state),
        _limits(flow, state),
        _decision(flow, state),
        _standing(flow, state),
        _jottings(flow, state, zone),
        _aside(flow, state, zone),
    ]
    return "\n\n".join("\n".join(lines) for lines in sections if lines) + "\n"


def so_far(flow: Flow, state: State, zone: tzinfo = UTC) -> str:
    """What was found so far, for the one who works on it: what stands in the way first, then all that was done."""
    sections = [
        _standing(flow, state),
        _decision(flow, state),
        _skipped(flow, state),
        work(flow, state, zone),
        _jottings(flow, state, zone),
        _limits(flow, state),
        _aside(flow, state, zone),
    ]
    return "\n\n".join("\n".join(lines) for lines in sections if lines) + "\n"


def result_words(flow: Flow, state: State) -> str:
    """How the job ended, or would end now."""
    if state.outcome or (state.decided is None and state.job != "stopped"):
        return words.OUTCOMES.get(state.outcome, state.outcome)
    return words.OUTCOMES[closing.outcome(flow, state)]


def _job(flow: Flow, state: State, zone: tzinfo) -> list[str]:
    lines = [f"# Record of job {safe(state.session)}", ""]
    for v in state.visits:
        lines.append(
            f"- Visit {v.number}: {words.day(v.began, zone)} {words.hour(v.began, zone)}, "
            f"technician {safe(v.technician or '-')}, second person {safe(v.person or '-')}, "
            f"ticket {safe(v.ticket or '-')}"
        )
    lines.append(
        f"- Flow: {safe(flow.title)} ({safe(flow.id)}), version {safe(flow.version)}, SHA-256 `{flow.digest}`"
    )
    lines.append(f"- Result: {result_words(flow, state)}")
    lines.append(f"- Usual minutes of the work done: {derive.minutes(flow, state):.0f}")
    name, sha256 = state.handover
    handed = f"- Handed over: {safe(name)}, SHA-256 without its last line `{sha256}`"
    lines.extend([handed] if name else [])
    return lines


def _machine(flow: Flow, state: State) -> list[str]:
    lines = ["## Machine and complaint", ""]
    for fact in flow.facts:
        if state.facts.get(fact.id):
            lines.append(f"- {safe(fact.ask)} {safe(words.fact_words(flow, fact.id, state.facts[fact.id]))}")
    return [*lines, "", *words.quoted(state.complaint or "-")]


def _safety(flow: Flow, state: State, zone: tzinfo) -> list[str]:
    """Each change of the safety state; under a gate its own answers and readings."""
    lines = ["## Safety states", ""]
    for gate in state.gates:
        run = state.find_run(gate.run)
        inspection = flow.inspections.get(run.inspection) if run else None
        title = f": {safe(inspection.title)}" if inspection else ""
        lines.append(
            f"- {words.hour(gate.at, zone)} {words.SAFETY.get(gate.was, gate.was)} to "
            f"**{words.SAFETY.get(gate.state, gate.state)}** ({words.WHYS.get(gate.why, safe(gate.why))}{title})"
        )
    return lines if state.gates else [*lines, "The machine was never isolated."]


def _skipped(flow: Flow, state: State) -> list[str]:
    lines = []
    for name, (how, reason) in state.skipped.items():
        where, again = name.removeprefix("recheck:"), name.startswith("recheck:")
        inspection = flow.inspections.get(where.partition(".")[0])
        title = inspection.title if inspection else where
        name = f"{safe(title)}, measuring again" if again else safe(title)
        lines.append(f"- {name}: {words.HOWS.get(how, how)}. {safe(sentence(reason))}")
    return ["## Left out", "", *lines] if lines else []


def _limits(flow: Flow, state: State) -> list[str]:
    """The limits that judged anything, as they stood, and the service sheets used."""
    used = {}
    for given in state.given:
        inspection = flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection else None
        limit = judging.limit_of(flow, state, step) if step else None
        if limit and not given.aside:
            used[limit.id] = limit
    lines = [
        f"- {safe(li.says)}: {words.bands(li)}. {safe(sentence(words.source(li)))}" for li in used.values()
    ]
    for model, source, _limits in state.sheets:
        lines.append(f"- Service sheet for {safe(model or '-')}: {safe(source)}")
    lines.extend(f"  - {safe(li.says)}: {words.bands(li)}" for li in sheet_limits(state))
    return ["## Limits used", "", *lines] if lines else []


def _decision(flow: Flow, state: State) -> list[str]:
    if state.decided is None:
        return []
    named = [flow.faults[f].says if f in flow.faults else f for f in state.decided]
    lines = ["## Decision and repair", "", f"Confirmed: {safe(', '.join(named) or 'no fault')}."]
    for r in state.repairs:
        lines.extend(_repair(flow.faults.get(r.fault), r, state.facts))
    return lines


def _repair(fault: Fault | None, r: Repair, facts: Mapping[str, str]) -> list[str]:
    listed = ", ".join(parts.read(code, fault, facts).words for code in r.parts)
    what = fault.remedy.says if fault else r.fault
    lines = [
        f"- Visit {r.visit}, {safe(what)}: **{r.outcome}**" + (f"; parts: {safe(listed)}" if listed else "")
    ]
    lines.extend([f"  - Words: {safe(sentence(r.reason))}"] if r.reason else [])
    risk = fault.remedy.risk if fault and r.outcome == "declined" else ""
    return [*lines, f"  - Risk told: {safe(sentence(risk))}"] if risk else lines


def _standing(flow: Flow, state: State) -> list[str]:
    lines = [
        f"- Must not: {safe(sentence(b.says))} No {', '.join(b.forbids)}." for b in standing_bars(flow, state)
    ]
    lines.extend(f"- Owed: {safe(sentence(d.says))}" for d in standing_debts(flow, state))
    if state.halt and state.halt.stop in flow.stops:
        stop = flow.stops[state.halt.stop]
        lines.append(f"- Work was stopped: {safe(words.also(sentence(stop.says), state.halt.words))}")
        for number, act in enumerate(stop.make_safe):
            why = state.halt.done.get(number)
            done = "open" if why is None else f"not done: {safe(why)}" if why else "done"
            lines.append(f"  - {safe(act)} ({done})")
    return ["## Standing", "", *lines] if lines else []


def _jottings(flow: Flow, state: State, zone: tzinfo) -> list[str]:
    lines = []
    for j in state.jottings:
        inspection = flow.inspections.get(j.inspection)
        where = f" ({safe(inspection.title)})" if inspection else ""
        what = (
            f"photo {safe(j.name)}, SHA-256 `{j.sha256}`: {safe(j.text or '-')}" if j.name else safe(j.text)
        )
        lines.append(f"- {words.hour(j.at, zone)}{where} {what}")
    return ["## Notes and photos", "", *lines] if lines else []


def _aside(flow: Flow, state: State, zone: tzinfo) -> list[str]:
    """What was corrected or taken back: kept, marked, and no evidence."""
    rows: Iterable[Given | Taken] = sorted((x for x in state.entries if x.aside), key=lambda x: x.seq)
    lines = [f"- {words.hour(x.at, zone)} {_old(flow, x)}" for x in rows]
    return (
        ["## Set aside", "", "Corrected, taken back, or no longer on the path.", "", *lines] if lines else []
    )


def _old(flow: Flow, entry: Given | Taken) -> str:
    inspection = flow.inspections.get(entry.inspection)
    title = safe(inspection.title if inspection else entry.inspection)
    if isinstance(entry, Taken):
        return f"{title}: {safe(entry.place or entry.step)} {safe(entry.typed)} {safe(entry.unit)}".rstrip()
    return f"{title}: {safe(entry.says or entry.answer)}"
