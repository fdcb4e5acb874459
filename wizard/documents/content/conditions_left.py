"""How the machine stands, condition by condition, and how that is known: for the record, and for its owner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, tzinfo

from wizard.documents.content.step_evidence import step_evidence
from wizard.documents.document_tree import Evidence
from wizard.documents.text.formatting import clock
from wizard.documents.text.safety_text import cause_words
from wizard.domain.references import StepRef
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.queries import machine_queries
from wizard.engine.queries.last_known import LastKnown, in_the_way, last_known
from wizard.engine.queries.machine_view import last_changes
from wizard.engine.queries.standing_stops import stood_since
from wizard.engine.state.condition_words import NOT_KNOWN, words_of
from wizard.engine.state.job_state import BeliefChange
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Condition, Step
from wizard.safety import Belief

_BY_EVENT = {EventKind.FACT: Evidence.TOLD, EventKind.REPAIRED: Evidence.DONE}
"""The kind of an event that changed what is believed -> how that is known."""


SINCE = "when last looked at; not looked at since"
"""What stands behind the words of what was told last and isn't known now."""


@dataclass(frozen=True, slots=True)
class ConditionLeft:
    """One condition: its noun, what it may be, since when (UTC, ISO 8601) and by what.

    ``evidence``: seen, measured, told or done where it is known for sure and the record knows how; not looked at where
    it isn't known. None where it was decided on.
    """

    says: str
    words: str
    at: str
    by: str
    evidence: Evidence | None


def conditions_left(view: JobView, zone: tzinfo = UTC) -> tuple[ConditionLeft, ...]:
    """The conditions of this machine of which anything was ever told, in the library's order.

    What the customer consented to is no state of the machine: it stands with the repair. Times in the words are of the
    ``zone``.
    """
    last, before = last_changes(view.state), last_known(view)
    known = machine_queries.belief(view)
    return tuple(
        _left(view, c, v, last[c], before.get(c), zone) for c, v in _of_machine(view, known) if c in last
    )


def never_asked(view: JobView) -> tuple[str, ...]:
    """The nouns of the conditions of this machine of which nothing was ever told."""
    last = last_changes(view.state)
    return tuple(
        view.flow.conditions[c].says
        for c, _values in _of_machine(view, machine_queries.belief(view))
        if c not in last
    )


def _of_machine(view: JobView, known: Belief) -> Iterator[tuple[str, frozenset[str]]]:
    return ((c, values) for c, values in known.items() if c not in view.flow.consent)


def _left(
    view: JobView,
    name: str,
    values: frozenset[str],
    change: BeliefChange,
    before: LastKnown | None,
    zone: tzinfo,
) -> ConditionLeft:
    condition = view.flow.conditions[name]
    words = words_of(condition, values)
    evidence = _evidence(view, change, name) if len(values) == 1 else None
    if words == NOT_KNOWN:
        evidence = Evidence.NOT_LOOKED_AT
        if before is not None and before.values < values and in_the_way(view, before):
            when = clock(view.state, before.at, zone)
            words = f"not known; when last looked at ({when}): {words_of(condition, before.values)}"
    first = stood_since(view, name, values)
    since = first.at if first is not None else change.at
    return ConditionLeft(condition.says, words, since, change_source(view, change), evidence)


def change_source(view: JobView, change: BeliefChange) -> str:
    """What a change of belief came of: the title of its step's inspection, or in words what else it was."""
    run = view.state.find_run(change.run)
    inspection = view.flow.inspections.get(run.inspection) if run else None
    return inspection.title if inspection else cause_words(change)


def _evidence(view: JobView, change: BeliefChange, condition: str) -> Evidence | None:
    """How the answer that a change came of knows this condition; a fact was told, a step of words alone too. What came
    of a repair was done; of the rest nothing is said.
    """
    run = view.state.find_run(change.run)
    step: Step | None = view.flow.step(StepRef(run.inspection, change.step)) if run else None
    if step is None:
        return _BY_EVENT.get(change.event)
    given = next((g for g in view.state.answer_records if g.seq == change.seq), None)
    return step_evidence(view.flow, step, given.chosen if given else (), condition)


@dataclass(frozen=True, slots=True)
class OwnersLine:
    """Conditions that are alike, and how they are, in the words for the machine's owner; and how that is known."""

    says: tuple[str, ...]
    words: str
    evidence: Evidence


def owners_lines(view: JobView) -> tuple[OwnersLine, ...]:
    """The conditions that a flow words for the machine's owner, alike ones together, those not known last.

    Of a condition that may have a value without such words nothing is said, but where such a value was told last and
    nobody looked since: what was tied, opened or tilted is not forgotten.
    """
    last, before = last_changes(view.state), last_known(view)
    groups: dict[tuple[str, Evidence], list[str]] = {}
    for name, values in machine_queries.belief(view).items():
        condition = view.flow.conditions[name]
        words = {condition.handover.get(v, "") for v in values}
        if len(values) > 1 and (stated := _told_before(condition, before.get(name), values)):
            groups.setdefault((stated, Evidence.NOT_LOOKED_AT), []).append(condition.says)
            continue
        if "" in words:
            continue
        said_so = name in last and (len(words) == 1 or values < set(condition.values) - condition.latch)
        seen = _evidence(view, last[name], name) if said_so and len(words) == 1 else Evidence.PRESUMED
        known = seen if said_so else Evidence.NOT_LOOKED_AT
        sentences = _each(condition, values) if said_so else NOT_KNOWN
        groups.setdefault((sentences, known or Evidence.PRESUMED), []).append(condition.says)
    ordered = sorted(groups.items(), key=lambda group: group[0][0] == NOT_KNOWN)
    return tuple(OwnersLine(tuple(says), words, known) for (words, known), says in ordered)


def _each(condition: Condition, values: frozenset[str]) -> str:
    """The owner's words of all that a condition may be, once: 'tilted or propped'; 'may be in' says 'in' as well."""
    sentences = dict.fromkeys(condition.handover[v] for v in condition.values if v in values)
    return " or ".join(
        one for one in sentences if not any(one in other for other in sentences if other != one)
    )


def _told_before(condition: Condition, stated: LastKnown | None, values: frozenset[str]) -> str:
    """'Tied to the cabinet when last looked at; not looked at since': of what is not known now; or empty."""
    if stated is None or not (stated.widened or stated.changing) or stated.values >= values:
        return ""
    if stated.begun:
        return f"may be so: {_each(condition, stated.begun)}. It was {stated.how_begun}"
    if not stated.values & condition.handover.keys():
        return ""
    return f"{_each(condition, stated.values & condition.handover.keys())} {SINCE}"
