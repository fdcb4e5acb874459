"""The customer's summary and the parts list, in plain words: pure functions from a session to Markdown."""

from __future__ import annotations

from datetime import UTC, tzinfo

from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.review import words
from wizard.review.order import parts_list
from wizard.review.pictures import rulers
from wizard.review.pictures.steps import in_markdown
from wizard.review.record import record, result_words
from wizard.review.sealing import seal_line
from wizard.review.sections import declined, done, found, machine, ordered, repairs
from wizard.review.standing import concerns, halted, standing_bars
from wizard.review.table import measured_table
from wizard.review.words import safe, sentence

__all__ = ["AGAIN", "HOSES", "parts_list", "record", "summary", "uses_water"]

HOSES = (
    "Turn the taps off after every wash.",
    "Look at the fill hoses twice a year. Have both changed at a bulge, crack, kink or rust, and at the latest "
    "after 5 years (rubber) or 8 years (braided): common practice and an estimate; the hose maker's word comes first.",
)
"""Advice on hoses: insurers' leaflets ask to look every 6 to 12 months (common practice); the ages are estimates."""

AGAIN = (
    "If the trouble comes back: stop the machine at its own switch, pull the plug with a dry hand, "
    "shut the taps, and call."
)


def summary(flow: Flow, state: State, chain: str = "", zone: tzinfo = UTC) -> str:
    """The summary for the customer; times are shown in ``zone``.

    ``chain`` is the chain value of the event that closed the visit; before that there is none, and room is left.
    """
    sections = [
        _head(flow, state, zone),
        _warning(flow, state),
        ["## What you told us", "", *words.quoted(state.complaint or "Nothing was written down.")],
        found(flow, state),
        done(flow, state),
        declined(flow, state),
        ordered(flow, state),
        measured_table(flow, state),
        in_markdown(flow, state),
        rulers.in_markdown(flow, state, every=False),
        _watch(flow, state),
        _from_now(flow, state),
        machine(flow, state),
        _seal(flow, state, chain),
    ]
    return "\n\n".join("\n".join(lines) for lines in sections if lines) + "\n"


def _head(flow: Flow, state: State, zone: tzinfo) -> list[str]:
    lines = [f"# {safe(flow.title)}: what was found and done", ""]
    for visit in state.visits:
        ticket = f", ticket {safe(visit.ticket)}" if visit.ticket else ""
        who = safe(words.people(visit.technician, visit.person))
        lines.append(f"- Visit {visit.number}, {words.day(visit.began, zone)}: {who}{ticket}")
    return lines


def _warning(flow: Flow, state: State) -> list[str]:
    """A stop-use warning when a bar stands or work was stopped; a plain request while parts are on order."""
    bars, stop = standing_bars(flow, state), halted(flow, state)
    if bars or stop:
        reasons = ([stop.says] if stop else []) + [b.says for b in bars]
        lines = [f"> - {safe(sentence(r))}" for r in dict.fromkeys(reasons)]
        call = ["> ", f"> Call first: {safe(sentence(stop.call))}"] if stop else []
        lead = "> **WARNING. Do not use this machine.** It could injure you or damage your home."
        return [lead, "> ", *lines, *call]
    if repairs(state, "on-order"):
        return ["> **Please do not use the machine until we have fitted the parts.**"]
    return []


def _watch(flow: Flow, state: State) -> list[str]:
    lines = [f"- {safe(c.title)}: {safe(sentence(c.says))}" for c in concerns(flow, state)]
    return ["## Keep an eye on", "", *lines] if lines else []


def _from_now(flow: Flow, state: State) -> list[str]:
    """Advice for using it. A machine that must not be used has none: nobody is sent to its plug or its taps."""
    use = () if out_of_use(flow, state) else (*(HOSES if uses_water(flow) else ()), AGAIN)
    advice = [f"- {safe(sentence(a))}" for a in (*use, flow.notice) if a]
    return ["## From now on", "", *advice] if advice else []


def out_of_use(flow: Flow, state: State) -> bool:
    """True when work was stopped, or something forbids the machine's use."""
    return bool(standing_bars(flow, state)) or halted(flow, state) is not None


def uses_water(flow: Flow) -> bool:
    """True when some step of the flow lets water in, so that the machine has hoses."""
    return any("water" in s.does for i in flow.inspections.values() for s in i.steps)


def _seal(flow: Flow, state: State, chain: str) -> list[str]:
    return [
        "## The record",
        "",
        f"- Job {safe(state.session)}, {result_words(flow, state)}",
        f"- Flow {safe(flow.id)}, version {safe(flow.version)}",
        seal_line(chain),
    ]
