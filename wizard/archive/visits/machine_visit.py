"""One job at a machine, as it is held against the others there: complaint, findings, readings, repairs, proof."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder, ArchiveRow, is_day
from wizard.archive.session_facts import clean
from wizard.documents.content.measurements import measured
from wizard.documents.content.part_counts import part_words
from wizard.documents.text import limit_text
from wizard.documents.text.outcome_text import outcome_words, repair_word
from wizard.documents.text.proof_text import unfinished_words, unproved
from wizard.domain.vocabulary import JobState, RepairOutcome, Verdict
from wizard.engine.guidance.session_ranking import SPEAKS
from wizard.engine.measuring.judging import Judged
from wizard.engine.state.job_view import JobView
from wizard.errors import UNSOUND, SteadfootError, UsageError, unsound_words
from wizard.sessions.session_handle import Loaded
from wizard.sessions.session_store import Store

MOST = 20
"""So many jobs at one machine are held side by side: the last ones."""


@dataclass(frozen=True, slots=True)
class VisitReading:
    """One item that was read: as the machine was found, and as it was left; None where nobody read it then.

    ``name``: what it is of, in the flow's words; ``unit``: how it is read.
    """

    name: str
    unit: str
    found: Judged | None
    left: Judged | None

    @property
    def failed(self) -> bool:
        """Whether one of the two did not pass."""
        return any(
            one is not None and one.verdict not in (None, Verdict.PASS) for one in (self.found, self.left)
        )

    @property
    def last(self) -> Judged | None:
        """As the machine was left, as far as anybody read it."""
        return self.left or self.found

    def text(self, one: Judged | None) -> str:
        """'18.0 N, fail', or a dash."""
        if one is None:
            return "-"
        verdict = f", {one.verdict}" if one.verdict is not None else ""
        return f"{limit_text.value(one, self.unit)}{verdict}"


@dataclass(frozen=True, slots=True)
class MachineVisit:
    """A job. ``findings``: by id what spoke for a fault; ``faults``: by id those confirmed or repaired; ``readings``:
    by step and item; ``repairs`` and ``ended`` in words; ``parts``: by id with their names. ``trouble``: why it can't
    be read, empty where it can.
    """

    session: str
    day: str
    ended_on: str
    who: str
    flow: str
    complaint: str
    findings: Mapping[str, str]
    faults: Mapping[str, str]
    readings: Mapping[tuple[str, str, str], VisitReading]
    repairs: tuple[str, ...]
    parts: Mapping[str, str]
    ended: str
    notes: tuple[str, ...] = ()
    trouble: str = ""
    model: str = ""


def plates(index: ArchiveIndex, serial: str) -> tuple[tuple[str, ArchiveRow], ...]:
    """The machines whose serial number holds this, or at which a session of this name was: each with its newest job.

    UsageError where there is none.
    """
    rows = index.find(ArchiveFilter(serial=serial, order=ArchiveOrder.NEWEST)).rows
    if not rows and is_day(serial[:10]):
        day = serial[:10]
        every = index.find(ArchiveFilter(since=day, until=day, order=ArchiveOrder.NEWEST)).rows
        rows = tuple(row for row in every if row.session == serial or row.session.startswith(f"{serial}-"))
    found: dict[str, ArchiveRow] = {}
    for row in rows:
        if row.plate:
            found.setdefault(row.plate, row)
    if not found:
        raise UsageError(
            f"No machine has a serial number with {serial!r} in it, and no session of that name has a machine with one."
        )
    return tuple(found.items())


def machine_words(row: ArchiveRow) -> str:
    """'Ostara OS410 0044711A'."""
    return " ".join(filter(None, (row.maker, row.model, row.serial)))


def visits_of(index: ArchiveIndex, store: Store, plate: str) -> tuple[MachineVisit, ...]:
    """The jobs at a machine, the oldest first, read from their journals; the last ``MOST`` of them."""
    rows = index.find(ArchiveFilter(plate=plate, order=ArchiveOrder.NEWEST), MOST).rows
    return tuple(visit_at(store, row) for row in reversed(rows))


def visit_at(store: Store, row: ArchiveRow) -> MachineVisit:
    """One of them. Never raises for what a person or a disk did to it: ``trouble`` says it."""
    try:
        return visit_of(store.load(row.session))
    except SteadfootError as problem:
        says = str(problem).splitlines()[0]
    except UNSOUND as problem:
        says = f"What it holds can't be followed{unsound_words(problem).rstrip('.')}. Verify it."
    return MachineVisit(
        row.session, row.day, row.ended or row.day, row.technician, row.flow, row.complaint, {}, {}, {}, (), {},
        "can't be read", trouble=clean(says),
    )  # fmt: skip


def visit_of(loaded: Loaded) -> MachineVisit:
    """What a job says of its machine."""
    view, state = loaded.view, loaded.state
    visit = state.visit
    return MachineVisit(
        loaded.name,
        loaded.name[:10],
        state.at[:10] or loaded.name[:10],
        visit.who if visit else "",
        f"{state.flow} {loaded.flow.version}",
        state.complaint,
        dict(_findings(view)),
        dict(_faults(view)),
        _readings(view),
        tuple(_repairs(view)),
        dict(_parts(view)),
        _ended(view),
        tuple(note.text for note in state.notes_kept if note.text.strip()),
        "; ".join(loaded.trouble),
        state.facts.get("model", ""),
    )


def _findings(view: JobView) -> Iterator[tuple[str, str]]:
    for given in view.state.answer_records:
        for finding, evidence in {} if given.aside else given.evidence.items():
            if evidence > SPEAKS and finding in view.flow.findings:
                yield finding, view.flow.findings[finding].says


def _faults(view: JobView) -> Iterator[tuple[str, str]]:
    repaired = (repair.fault for repair in view.state.repairs)
    for fault in dict.fromkeys((*(view.state.decided or ()), *repaired)):
        yield fault, view.flow.faults[fault].says if fault in view.flow.faults else fault


def _readings(view: JobView) -> Mapping[tuple[str, str, str], VisitReading]:
    found = {}
    for one in measured(view):
        name = f"{one.title}: {one.name}" if one.name else f"{one.title}, {one.step}"
        key = (one.inspection, one.step, one.name)
        found[key] = VisitReading(name, one.unit, one.before, one.after)
    return found


def _repairs(view: JobView) -> Iterator[str]:
    for repair in view.state.repairs:
        fault = view.flow.faults.get(repair.fault)
        parts = part_words(repair.parts, fault)
        words = [
            repair_word(view.flow, repair.fault, repair.outcome, repair.alternative),
            parts,
            repair.reason,
        ]
        held = " (did not hold)" if repair.failed else ""
        yield f"{fault.says if fault else repair.fault}{held}: {'; '.join(filter(None, words))}"


def _parts(view: JobView) -> Iterator[tuple[str, str]]:
    for repair in view.state.repairs:
        fault = view.flow.faults.get(repair.fault)
        for part in repair.parts:
            if part.count and repair.outcome is RepairOutcome.FITTED:
                yield part.part, part_words((part,), fault)


def _ended(view: JobView) -> str:
    state = view.state
    words = "stopped, not closed" if state.job is JobState.STOPPED else outcome_words(state.outcome)
    left = [unfinished_words(view.flow, proof) for proof in unproved(view)]
    return f"{words[:1].upper()}{words[1:]}.{''.join(f' {one}' for one in left)}"
