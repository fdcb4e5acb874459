"""What was known for sure of the machine before less became known: a break, a restart or a new visit hides it, and
forgets nothing that was tied, wedged or taken off.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.engine.state import queries
from wizard.engine.state.job_view import JobView
from wizard.engine.state.machine_view import WIDENINGS, words_of
from wizard.flow.model import Step
from wizard.safety import Needs


@dataclass(frozen=True, slots=True)
class LastKnown:
    """One condition that is not sure any more: its value before, and since when it was so (UTC, ISO 8601)."""

    condition: str
    value: str
    at: str


def last_known(view: JobView) -> Mapping[str, LastKnown]:
    """The conditions that a widening made less known, each with what was known for sure before it."""
    unsure = {name for name, values in queries.belief(view).items() if len(values) > 1}
    widened: set[str] = set()
    found: dict[str, LastKnown] = {}
    for change in reversed(view.state.changes):
        for name, values in change.belief.items():
            if name not in unsure:
                continue
            if change.why in WIDENINGS:
                widened.add(name)
                continue
            unsure.discard(name)
            if name in widened and len(values) == 1:
                found[name] = LastKnown(name, next(iter(values)), change.at)
    return found


def against(view: JobView, step: Step, so: Needs) -> tuple[LastKnown, ...]:
    """What was known before, that an answer contradicts: nobody was seen to change it, it doesn't change by itself, and
    the step doesn't change it.
    """
    known, conditions = last_known(view), view.flow.conditions
    return tuple(
        last
        for name, last in known.items()
        if name in so
        and name not in step.may
        and last.value not in so[name]
        and not set(conditions[name].alone.get(last.value, ())) & so[name]
    )


def words(view: JobView, last: LastKnown) -> str:
    """'Tub: tied (09:52)'."""
    condition = view.flow.conditions[last.condition]
    said = words_of(condition, frozenset((last.value,)))
    return f"{condition.says}: {said} ({queries.clock_words(last.at)})"


def otherwise(view: JobView, step: Step) -> tuple[LastKnown, ...]:
    """What was known before of the conditions that a step's answers speak of, where its usual answer says otherwise."""
    usual = step.usual or (step.answers[0] if step.answers else None)
    said: dict[str, frozenset[str]] = {}
    for answer in step.answers if step.many else [usual] if usual is not None else []:
        said.update(answer.so)
    return tuple(x for name, x in last_known(view).items() if name in said and x.value not in said[name])
