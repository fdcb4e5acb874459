"""How the machine stands, condition by condition, and how that is known: for the record, and for its owner."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.documents.document_tree import Evidence
from wizard.documents.text.safety_text import why_words
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import StepKind
from wizard.engine.state import machine_view, queries
from wizard.engine.state.job_state import BeliefChange, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Condition, Step

NOT_KNOWN = "not known"

_SEEN = (StepKind.LOOK, StepKind.CHOOSE)
_MEASURED = (StepKind.MEASURE, StepKind.COMPUTE)


@dataclass(frozen=True, slots=True)
class ConditionLeft:
    """One condition: its noun, what it may be, since when (UTC, ISO 8601) and by what.

    ``evidence``: seen, measured or told where it is known for sure and the record knows how; not looked at where it
    isn't known. None where somebody did it or decided on it.
    """

    says: str
    words: str
    at: str
    by: str
    evidence: Evidence | None


def conditions_left(view: JobView) -> tuple[ConditionLeft, ...]:
    """The conditions of this machine of which anything was ever told, in the library's order."""
    last = _last_changes(view.state)
    known = queries.belief(view)
    return tuple(_left(view, view.flow.conditions[c], v, last[c]) for c, v in known.items() if c in last)


def never_asked(view: JobView) -> tuple[str, ...]:
    """The nouns of the conditions of this machine of which nothing was ever told."""
    last = _last_changes(view.state)
    return tuple(view.flow.conditions[c].says for c in queries.belief(view) if c not in last)


def _last_changes(state: State) -> dict[str, BeliefChange]:
    return {condition: change for change in state.changes for condition in change.belief}


def _left(view: JobView, condition: Condition, values: frozenset[str], change: BeliefChange) -> ConditionLeft:
    words = machine_view.words_of(condition, values)
    evidence = _evidence(view, change) if len(values) == 1 else None
    if words == NOT_KNOWN:
        evidence = Evidence.NOT_LOOKED_AT
    return ConditionLeft(condition.says, words, change.at, change_source(view, change), evidence)


def change_source(view: JobView, change: BeliefChange) -> str:
    """What a change of belief came of: the title of its step's inspection, or in words what else it was."""
    run = view.state.find_run(change.run)
    inspection = view.flow.inspections.get(run.inspection) if run else None
    return inspection.title if inspection else why_words(change.why)


def _evidence(view: JobView, change: BeliefChange) -> Evidence | None:
    """How the step that a change came of knows it; a fact was told, a step of words alone too."""
    run = view.state.find_run(change.run)
    step: Step | None = view.flow.step(StepRef(run.inspection, change.step)) if run else None
    if step is None:
        return Evidence.TOLD if change.why == "fact" else None
    if step.kind in _MEASURED:
        return Evidence.MEASURED
    if step.kind not in _SEEN:
        return None
    return Evidence.SEEN if view.flow.reaches[step.reach].needs else Evidence.TOLD


@dataclass(frozen=True, slots=True)
class OwnersLine:
    """Conditions that are alike, and how they are, in the words for the machine's owner. ``known``: for sure."""

    says: tuple[str, ...]
    words: str
    known: bool


def owners_lines(view: JobView) -> tuple[OwnersLine, ...]:
    """The conditions that a flow words for the machine's owner, alike ones together, those not known last.

    Of a condition that may have a value without such words nothing is said.
    """
    groups: dict[str, list[str]] = {}
    for name, values in queries.belief(view).items():
        condition = view.flow.conditions[name]
        words = {condition.handover.get(v, "") for v in values}
        if "" not in words:
            groups.setdefault(words.pop() if len(words) == 1 else NOT_KNOWN, []).append(condition.says)
    unknown = groups.pop(NOT_KNOWN, [])
    lines = [OwnersLine(tuple(says), words, True) for words, says in groups.items()]
    return (*lines, *([OwnersLine(tuple(unknown), NOT_KNOWN, False)] if unknown else ()))
