"""The rows of the job map: every inspection with how it stands, what it costs and what is asked before it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum, unique

from wizard.documents.text.formatting import sentence
from wizard.documents.text.outcome_text import repair_word
from wizard.documents.text.stop_text import what_it_takes
from wizard.domain.counting import plural
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import InspectionResult, NextKind, RepairOutcome
from wizard.engine.guidance.advice_candidates import act_minutes, way_in
from wizard.engine.handlers import visit_end
from wizard.engine.queries import inspection_queries, machine_queries, next_queries, proof_queries, stopped
from wizard.engine.state.job_view import JobView
from wizard.safety import Barred
from wizard.screens.text.clipping import cut
from wizard.screens.text.wrapping import wrapped


@unique
class MapMark(StrEnum):
    """How a row of the job map stands: as its inspection or its repair does, or how it may be opened."""

    UNBEGUN = ""
    OPEN = "open"
    DONE = "done"
    PASS = "pass"
    WATCH = "watch"
    FAIL = "fail"
    SKIPPED = "skipped"
    UNABLE = "unable"
    NOT_FITTED = "not-fitted"
    ABSENT = "absent"
    FOLDED = "folded"
    BARRED = "barred"
    LATER = "later"
    OPTIONAL = "optional"
    UNNEEDED = "unneeded"
    FITTED = "fitted"
    GIVEN = "given"
    DECLINED = "declined"
    ON_ORDER = "on-order"
    PUT_OFF = "put-off"


MARKS: Mapping[MapMark, tuple[str, str]] = {
    MapMark.UNBEGUN: ("o", "open"),
    MapMark.OPEN: ("…", "begun"),
    MapMark.DONE: ("✓", "done"),
    MapMark.PASS: ("✓", "pass"),
    MapMark.WATCH: ("!", "watch"),
    MapMark.FAIL: ("✗", "fail"),
    MapMark.SKIPPED: ("-", "left out"),
    MapMark.UNABLE: ("-", "not done"),
    MapMark.NOT_FITTED: ("-", "not fitted"),
    MapMark.ABSENT: ("-", "not for this machine"),
    MapMark.FOLDED: ("-", ""),
    MapMark.BARRED: ("!", "not now"),
    MapMark.LATER: (" ", "to come"),
    MapMark.OPTIONAL: (" ", "not asked for"),
    MapMark.UNNEEDED: (" ", "not looked at"),
    MapMark.FITTED: ("✓", "fitted"),
    MapMark.GIVEN: ("✓", "given"),
    MapMark.DECLINED: ("-", "declined"),
    MapMark.ON_ORDER: ("…", "on order"),
    MapMark.PUT_OFF: ("…", "put off"),
}
"""A sign and a word for how a row stands."""


_CLOSED = frozenset({
    MapMark.DONE, MapMark.PASS, MapMark.WATCH, MapMark.FAIL, MapMark.SKIPPED, MapMark.UNABLE, MapMark.NOT_FITTED,
    MapMark.FITTED, MapMark.GIVEN, MapMark.DECLINED, MapMark.ON_ORDER, MapMark.PUT_OFF,
})  # fmt: skip
"""How a row stands that is done or left out."""

FOLD = "."
"""The target of the row that stands for those folded away; no inspection is called so."""

PASSED = "It was decided without this. It may be looked at all the same."
NOT_ASKED = "What was repaired isn't proved by this. It may be done all the same."


@dataclass(frozen=True, slots=True)
class MapRow:
    """One row. ``target``: what it is about; ``step``: from which step on it is measured again.

    ``note``: a few words more; ``first`` the titles of what is asked before it from here,
    ``steps`` how many steps those are and ``way`` their minutes; ``now``: what one is led to next, ``why`` in a
    sentence where the flow's order leads there, ``short`` in a few words where the advice does; ``ready``: it
    may be opened.
    """

    kind: NextKind
    target: str
    title: str
    mark: MapMark
    note: str = ""
    minutes: float = 0.0
    first: tuple[str, ...] = ()
    steps: int = 0
    way: float = 0.0
    step: str = ""
    now: bool = False
    why: str = ""
    short: str = ""
    ready: bool = True

    @property
    def place(self) -> tuple[NextKind, str, str]:
        """What the row is, however it stands now."""
        return self.kind, self.target, self.title

    @property
    def closed(self) -> bool:
        """True where nothing is left to do on it."""
        return self.mark in _CLOSED

    @property
    def sign(self) -> str:
        """The sign of how it stands."""
        return MARKS[self.mark][0]

    @property
    def word(self) -> str:
        """The word of how it stands."""
        return MARKS[self.mark][1]


def rows(view: JobView, led: next_queries.NextUp | None = None, ways: bool = True) -> tuple[MapRow, ...]:
    """Every row in the order of the job: find, decide, repair, measure again, prove, and the end.

    ``led``: what one is led to, where that isn't what comes next in the flow's own order. Without ``ways`` nothing is
    said of what is asked before a row.
    """
    order = next_queries.next_up(view)
    coming = led or order
    why = order.why if coming == order else ""
    found: list[MapRow] = []
    if coming.kind is NextKind.RELEASE:
        says = view.flow.conditions[coming.target].says
        why = " ".join(what_it_takes(cause) for cause in stopped.causes(view, coming.target)).strip() or why
        found.append(MapRow(coming.kind, coming.target, f"Clear the stop: {says}", MapMark.UNBEGUN))
    if coming.kind is NextKind.CAUSE and coming.target in view.flow.stops:
        stop = view.flow.stops[coming.target]
        why = f"{why} {what_it_takes(stop)}".strip()
        found.append(MapRow(coming.kind, coming.target, f"Ask anew: {stop.says}", MapMark.UNBEGUN))
    if coming.kind is NextKind.RECHECK and machine_queries.latched(view):
        title = view.flow.inspections[coming.target].title
        found.append(MapRow(coming.kind, coming.target, f"Measure again: {title}", MapMark.UNBEGUN))
    found.extend(_search(view))
    found.append(_decide(view))
    found.extend(_repairs(view))
    found.extend(_rechecks(view))
    found.extend(_ending(view))
    return tuple(_marked(_with_way(view, row) if ways else row, coming, why) for row in found)


def _marked(row: MapRow, coming: next_queries.NextUp, why: str) -> MapRow:
    target = "" if row.kind in (NextKind.DECIDE, NextKind.CLOSE) else row.target
    here = (row.kind, target) == (coming.kind, coming.target)
    return replace(row, now=True, step=coming.step, why=why, short=coming.short) if here else row


def _search(view: JobView) -> Iterator[MapRow]:
    """The inspections of the search; what the decision came before may still be looked at."""
    for name in view.flow.find:
        row = _inspection(view, name, NextKind.INSPECT)
        passed = (
            view.state.decided is not None and row.mark is MapMark.UNBEGUN and name not in view.flow.prove
        )
        yield replace(row, mark=MapMark.UNNEEDED, note=PASSED) if passed else row


def _inspection(view: JobView, inspection_id: str, kind: NextKind, later: bool = False) -> MapRow:
    flow = view.flow
    inspection = flow.inspections[inspection_id]
    if not inspection_queries.applies(view, inspection):
        note = inspection.absent
        return MapRow(kind, inspection.id, inspection.title, MapMark.ABSENT, note, ready=False)
    standing = inspection_queries.result(view.state, inspection.id)
    again = (
        inspection.after_only and kind is NextKind.INSPECT and inspection_queries.pending(view, inspection.id)
    )
    if again and standing is not InspectionResult.OPEN:
        standing = InspectionResult.NOT_BEGUN
    skipped = view.state.skipped.get(inspection.id)
    note = skipped[1] if skipped else ""
    mark = MapMark.LATER if later and not standing else MapMark(standing)
    if mark is MapMark.UNBEGUN and (why := next_queries.open_barred(view, inspection.id)):
        mark, note = MapMark.BARRED, why
    return MapRow(kind, inspection.id, inspection.title, mark, note, inspection.minutes)


INSPECTED = (NextKind.INSPECT, NextKind.RECHECK, NextKind.LEAVE, NextKind.HANDOVER)
"""The kinds of row that stand for an inspection."""

OMITTED = INSPECTED
"""The kinds of row that may be asked to be left out; the engine refuses the last two in its own words."""

_MAY_OPEN = (MapMark.UNBEGUN, MapMark.OPEN, MapMark.LATER, MapMark.UNNEEDED, MapMark.OPTIONAL)


def _with_way(view: JobView, row: MapRow) -> MapRow:
    """The row with what is asked before it from here, where it may still be opened."""
    if row.kind not in INSPECTED or row.mark not in _MAY_OPEN:
        return row
    way = way_in(view, view.flow.inspections[row.target])
    if isinstance(way, Barred):
        return row
    titles = dict.fromkeys(
        view.flow.inspections[act.inspection].title for act in way if isinstance(act, StepRef)
    )
    minutes = sum(act_minutes(view.flow, act) for act in way)
    return replace(row, first=tuple(titles), steps=len(way), way=minutes)


def _decide(view: JobView) -> MapRow:
    if why := next_queries.undecidable(view):
        return MapRow(NextKind.DECIDE, "", "Decide what it is", MapMark.BARRED, why)
    if view.state.decided is None:
        return MapRow(NextKind.DECIDE, "", "Decide what it is", MapMark.UNBEGUN)
    faults = view.flow.faults
    phrase = "; ".join(faults[f].says for f in view.state.decided if f in faults) or "No fault"
    mark = MapMark.OPEN if proof_queries.failed_proof(view) else MapMark.DONE
    return MapRow(NextKind.DECIDE, "", "Decide what it is", mark, phrase)


def _repairs(view: JobView) -> Iterator[MapRow]:
    made = {r.fault: r for r in view.state.repairs if not r.failed}
    for fault_id in view.state.decided or ():
        fault = view.flow.faults.get(fault_id)
        if fault is None:
            continue
        repair = made.get(fault_id)
        settled = repair if repair and not proof_queries.waiting(view.state, repair) else None
        mark = MapMark.UNBEGUN
        if settled:
            word = repair_word(view.flow, fault_id, settled.outcome, settled.alternative)
            mark = MapMark(word if settled.outcome is RepairOutcome.FITTED else settled.outcome.value)
        yield MapRow(NextKind.REPAIR, fault_id, fault.remedy.says, mark, fault.says, fault.remedy.minutes)


def _rechecks(view: JobView) -> Iterator[MapRow]:
    for where in inspection_queries.rechecks(view.state):
        inspection = view.flow.inspections[where.inspection]
        title = f"Measure again: {inspection.title}"
        yield MapRow(
            NextKind.RECHECK,
            where.inspection,
            title,
            MapMark.UNBEGUN,
            "",
            inspection.minutes,
            step=where.step,
        )


def _ending(view: JobView) -> Iterator[MapRow]:
    """Proofs and handover, or leaving the machine safe and marked; then the close."""
    flow, early = view.flow, view.state.decided is None
    if not early and proof_queries.leaving(view):
        yield _inspection(view, flow.leave, NextKind.LEAVE)
    else:
        asked = proof_queries.demanded(view)
        for inspection in (i for i in flow.prove if i not in flow.find):
            row = _inspection(view, inspection, NextKind.INSPECT, early)
            free = not early and inspection not in asked and row.mark in (MapMark.UNBEGUN, MapMark.LATER)
            yield replace(row, mark=MapMark.OPTIONAL, note=NOT_ASKED) if free else row
        yield _inspection(view, flow.handover, NextKind.HANDOVER, early)
    open_still = visit_end.unclosed(view)
    mark = MapMark.LATER if open_still else MapMark.UNBEGUN
    yield MapRow(NextKind.CLOSE, "", "Hand over and close this visit", mark, open_still, ready=not open_still)


def folded(found: tuple[MapRow, ...], opened: bool) -> tuple[MapRow, ...]:
    """The rows, those that are not for this machine folded into one behind the search; below it where ``opened``."""
    absent = tuple(row for row in found if row.mark is MapMark.ABSENT)
    if not absent:
        return found
    parts = plural(len(absent), "part")
    says = (
        f"o folds {'it' if len(absent) == 1 else 'them'} again."
        if opened
        else "o, or Enter, shows which and why."
    )
    row = MapRow(absent[0].kind, FOLD, f"{parts} not for this machine", MapMark.FOLDED, says, ready=False)
    kept = [r for r in found if r.mark is not MapMark.ABSENT]
    at = next((n for n, r in enumerate(kept) if r.kind is NextKind.DECIDE), len(kept))
    return (*kept[:at], row, *(absent if opened else ()), *kept[at:])


def cursor(found: tuple[MapRow, ...]) -> int:
    """The row that the cursor begins on: the next one, else the first that may be opened."""
    return next((n for n, row in enumerate(found) if row.now), 0)


def detail(row: MapRow, width: int, whole: bool = False) -> list[str]:
    """What else is known of a row, as lines: what comes next, what is asked before it, and its note, which is
    whole. ``whole``: all that is asked before it is named, not only what one line has room for.
    """
    phrase = (row.why or "Next.") if row.now else ""
    if row.now and row.mark is MapMark.BARRED:
        phrase = "Next, for all else was looked at; but it can't be done now: x leaves it out."
    note = sentence(row.note)
    words = " ".join(x for x in (phrase, note) if x)
    first = wrapped(asked_first(row, 9999), width) if whole else [asked_first(row, width)]
    return [*wrapped(words, width), *(first if row.first else [])]


def asked_first(row: MapRow, width: int) -> str:
    """'First (14 steps, 22 min): Power off and on, Water and 2 more.', in one line: as many as it has room for."""
    steps = plural(row.steps, "step")
    lead = f"First ({steps}, {row.way:.0f} min): "
    for shown in range(len(row.first), 0, -1):
        left = len(row.first) - shown
        line = f"{lead}{', '.join(row.first[:shown])}{f' and {left} more' if left else ''}."
        if len(line) <= width:
            return line
    return cut(f"{lead}{', '.join(row.first)}", width)
