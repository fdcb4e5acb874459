"""The rows of the job map: every inspection with how it stands, what it costs and which gates lead to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.engine import derive
from wizard.engine.safety import route
from wizard.engine.state import State
from wizard.flow.model import Flow, Inspection

MARKS = {
    "": ("o", "open"),
    "open": ("…", "begun"),
    "done": ("✓", "done"),
    "pass": ("✓", "pass"),
    "watch": ("!", "watch"),
    "fail": ("✗", "fail"),
    "skipped": ("-", "left out"),
    "unable": ("-", "not done"),
    "not-fitted": ("-", "not fitted"),
    "absent": ("-", "not for this machine"),
    "barred": ("!", "forbidden now"),
    "later": (" ", "to come"),
    "fitted": ("✓", "fitted"),
    "declined": ("-", "declined"),
    "on-order": ("…", "on order"),
}
"""A sign and a word for how a row stands."""


@dataclass(frozen=True, slots=True)
class MapRow:
    """One row. ``kind`` is inspect, decide, repair, recheck, leave, handover or close; ``target`` what it is about.

    ``mark`` is a key of MARKS; ``note`` a few words more; ``gates`` the titles of the gates that lead to it from
    here; ``now``: next in the flow's own order; ``ready``: it may be opened.
    """

    kind: str
    target: str
    title: str
    mark: str
    note: str = ""
    minutes: float = 0.0
    gates: tuple[str, ...] = ()
    now: bool = False
    ready: bool = True

    @property
    def sign(self) -> str:
        """The sign of how it stands."""
        return MARKS[self.mark][0]

    @property
    def word(self) -> str:
        """The word of how it stands."""
        return MARKS[self.mark][1]


def rows(flow: Flow, state: State) -> tuple[MapRow, ...]:
    """Every row in the order of the job: find, decide, repair, measure again, prove, and the end."""
    coming = derive.next_up(flow, state)
    found: list[MapRow] = []
    found.extend(_inspection(flow, state, i, "inspect") for i in flow.find)
    found.append(_decide(flow, state))
    found.extend(_repairs(flow, state))
    found.extend(_rechecks(flow, state))
    ending = tuple(_ending(flow, state))
    found.extend(_first(flow, state, coming, (*found, *ending)))
    found.extend(ending)
    return tuple(_marked(row, coming) for row in found)


def _first(flow: Flow, state: State, coming: derive.NextUp, found: tuple[MapRow, ...]) -> Iterator[MapRow]:
    """A row for what comes first because something is owed, such as closing up: else it has none of its own."""
    if coming.kind == "inspect" and all(row.target != coming.target for row in found):
        inspection = flow.inspections[coming.target]
        way = gates(flow, state, inspection)
        yield MapRow("inspect", inspection.id, inspection.title, "", coming.why, inspection.minutes, way)


def _marked(row: MapRow, coming: derive.NextUp) -> MapRow:
    from dataclasses import replace

    target = "" if row.kind in ("decide", "close") else row.target
    return replace(row, now=True) if (row.kind, target) == (coming.kind, coming.target) else row


def _inspection(flow: Flow, state: State, inspection_id: str, kind: str, later: bool = False) -> MapRow:
    inspection = flow.inspections[inspection_id]
    if not derive.applies(flow, state, inspection):
        note = inspection.absent
        return MapRow(kind, inspection.id, inspection.title, "absent", note, ready=False)
    standing = derive.result(state, inspection.id)
    if (
        inspection.after_only
        and kind == "inspect"
        and standing
        and derive.pending(flow, state, inspection.id)
    ):
        standing = "open" if standing == "open" else ""
    note = state.skipped.get(inspection.id, ("", ""))[1]
    mark = "later" if later and not standing else standing
    if not mark and (why := derive.shut(flow, state, inspection.id)):
        mark, note = "barred", why
    return MapRow(
        kind, inspection.id, inspection.title, mark, note, inspection.minutes, gates(flow, state, inspection)
    )


def gates(flow: Flow, state: State, inspection: Inspection) -> tuple[str, ...]:
    """The titles of the gates that lead from here to an inspection; none where it may be worked now."""
    moves = route(flow, state.facts, derive.stance(state), inspection) or ()
    return tuple(flow.inspections[m.gate].title for m in moves if m.gate)


def _decide(flow: Flow, state: State) -> MapRow:
    if state.decided is None:
        return MapRow("decide", "", "Decide what it is", "")
    said = "; ".join(flow.faults[f].says for f in state.decided if f in flow.faults) or "No fault"
    return MapRow("decide", "", "Decide what it is", "done", said)


def _repairs(flow: Flow, state: State) -> Iterator[MapRow]:
    made = {r.fault: r for r in state.repairs}
    for fault_id in state.decided or ():
        fault = flow.faults.get(fault_id)
        if fault is None:
            continue
        repair = made.get(fault_id)
        mark = repair.outcome if repair and not derive.waiting(state, repair) else ""
        yield MapRow("repair", fault_id, fault.remedy.says, mark, fault.says, fault.remedy.minutes)


def _rechecks(flow: Flow, state: State) -> Iterator[MapRow]:
    for where in derive.rechecks(state):
        inspection = flow.inspections[where.partition(".")[0]]
        title = f"Measure again: {inspection.title}"
        yield MapRow("recheck", where, title, "", "", inspection.minutes, gates(flow, state, inspection))


def _ending(flow: Flow, state: State) -> Iterator[MapRow]:
    """Proofs and handover, or leaving the machine safe and marked; then the close."""
    early = state.decided is None
    if derive.leaving(flow, state) and not early:
        yield _inspection(flow, state, flow.leave, "leave")
    else:
        for inspection in (i for i in flow.prove if i not in flow.find):
            yield _inspection(flow, state, inspection, "inspect", early)
        yield _inspection(flow, state, flow.handover, "handover", early)
    ready = derive.next_up(flow, state).kind == "close"
    yield MapRow("close", "", "Hand over and close this visit", "" if ready else "later", ready=ready)


def cursor(found: tuple[MapRow, ...]) -> int:
    """The row that the cursor begins on: the next one, else the first that may be opened."""
    return next((n for n, row in enumerate(found) if row.now), 0)


def detail(row: MapRow) -> str:
    """What else is known of a row: what comes next, the gates to it by name, its note."""
    parts = ["Next in the flow's order."] if row.now else []
    if row.now and row.mark == "barred":
        parts = ["Next in the flow's order, and all else was looked at, but forbidden now: x leaves it out."]
    if row.gates:
        parts.append(f"First: {', then '.join(row.gates)}.")
    if row.note:
        parts.append(row.note if row.note.endswith(".") else f"{row.note}.")
    return " ".join(parts)
