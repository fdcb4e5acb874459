"""What was answered on the path and may be corrected: answers and readings that still count, the newest first."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine.state import Given, State, Taken
from wizard.flow.model import Flow


@dataclass(frozen=True, slots=True)
class Entry:
    """One line. ``kind`` is answer, reading or fact; ``key`` its seq, or the fact's id; ``gate``: part of a gate."""

    kind: str
    key: str
    title: str
    asked: str
    said: str
    gate: bool = False


def entries(flow: Flow, state: State) -> tuple[Entry, ...]:
    """Answers and readings, the newest first, then the machine facts."""
    rows = [x for x in state.entries if not x.aside and _counts(state, x)]
    found = [_entry(flow, x) for x in sorted(rows, key=lambda x: -x.seq)]
    facts = [_fact(flow, state, f.id) for f in flow.facts if f.id in state.facts]
    return (*(e for e in found if e), *facts)


def _counts(state: State, entry: Given | Taken) -> bool:
    run = state.find_run(entry.run)
    return run is not None and run.how != "void"


def _entry(flow: Flow, entry: Given | Taken) -> Entry | None:
    inspection = flow.inspections.get(entry.inspection)
    step = inspection.step(entry.step) if inspection else None
    if inspection is None or step is None:
        return None
    gate = bool(inspection.gate)
    if isinstance(entry, Taken):
        place = (
            f"{entry.place}, no. {entry.repeat + 1}"
            if step.reading and step.reading.repeats > 1
            else entry.place
        )
        typed = entry.typed if _has_unit(entry.typed) else f"{entry.typed} {entry.unit}"
        return Entry("reading", str(entry.seq), inspection.title, place or step.do, typed, gate)
    if entry.how != "answer" or step.kind in ("measure", "compute", "tell"):
        return None
    return Entry("answer", str(entry.seq), inspection.title, step.do, entry.says or entry.answer, gate)


def _has_unit(typed: str) -> bool:
    return any(c.isalpha() or c in "\"'%°" for c in typed)


def _fact(flow: Flow, state: State, fact_id: str) -> Entry:
    asked = flow.fact(fact_id)
    value = state.facts[fact_id]
    known = asked.value(value) if asked else None
    says = known.says if known else value or "-"
    return Entry("fact", fact_id, "Machine", asked.ask if asked else fact_id, says)


def choices(flow: Flow, state: State, entry: Entry) -> tuple[tuple[str, str], ...]:
    """The answers that may stand in its place, (id, words) each; none where it is typed."""
    if entry.kind == "fact":
        asked = flow.fact(entry.key)
        return tuple((v.id, v.says) for v in asked.values) if asked else ()
    if entry.kind == "reading":
        return ()
    given = next((g for g in state.given if str(g.seq) == entry.key), None)
    step = flow.inspections[given.inspection].step(given.step) if given else None
    return tuple((a.id, a.says or a.id) for a in step.answers) if step else ()
