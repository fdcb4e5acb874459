"""What was made sure of in a session and what was lost again: the changes of belief that matter for the hands.

The flow says what matters: a value that has a word for the badge, and a latch; and from then on whatever it becomes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.documents.content.conditions_left import change_source
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.state import condition_words
from wizard.engine.state.job_state import BeliefChange, ReleaseRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Condition

Known = dict[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class BeliefEntry:
    """One event of the log (``at``: UTC, ISO 8601) and what it came of.

    ``sure``: conditions with what they are now. ``lost``: nouns of what is no longer known. ``release``: who
    released a latch, and in which words.
    """

    at: str
    by: str
    sure: tuple[str, ...]
    lost: tuple[str, ...]
    release: ReleaseRecord | None = None


def belief_log(view: JobView) -> Iterator[BeliefEntry]:
    """Each change that matters, in order. What a step could change counts once it was answered, or never was."""
    known: Known = {}
    noted: set[str] = set()
    pending: dict[tuple[int, str], Mapping[str, frozenset[str]]] = {}
    for change, answered_later in _with_answers(view.state):
        place = (change.run, change.step)
        if answered_later:
            pending[place] = change.belief
            continue
        after = {**(pending.pop(place, {}) if change.event is EventKind.ANSWERED else {}), **change.belief}
        noted |= {
            c
            for c, values in after.items()
            if c in view.flow.conditions and _tells(view.flow.conditions[c], values)
        }
        entry = _entry(view, change, known, {c: v for c, v in after.items() if c in noted})
        known.update(after)
        if entry is not None:
            yield entry


def _with_answers(state: State) -> Iterator[tuple[BeliefChange, bool]]:
    """Each change; True for a step that was shown and whose answer changed something afterwards."""
    answered = {(c.run, c.step): c.seq for c in state.changes if c.event is EventKind.ANSWERED}
    for change in state.changes:
        later = answered.get((change.run, change.step), 0) > change.seq
        yield change, change.event is EventKind.SHOWN and later


def _entry(
    view: JobView, change: BeliefChange, known: Known, after: Mapping[str, frozenset[str]]
) -> BeliefEntry | None:
    release = next((r for r in view.state.releases if r.seq == change.seq), None)
    sure, lost = [], []
    for name, values in after.items():
        condition, before = view.flow.conditions[name], known.get(name, frozenset())
        if len(values) == 1 and values != before:
            sure.append(f"{condition.says}: {condition_words.words_of(condition, values)}")
        elif len(values) > 1 and len(before) == 1 and not values & before & condition.latch:
            lost.append(condition.says)
    if not (sure or lost or release):
        return None
    by = change_source(view, change)
    return BeliefEntry(change.at, by, tuple(sure), () if release else tuple(lost), release)


def _tells(condition: Condition, values: frozenset[str]) -> bool:
    """True where these values are one, and it has a word for the badge or is a latch."""
    return len(values) == 1 and bool(values & (condition.latch | condition.short.keys()))
