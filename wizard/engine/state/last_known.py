"""What was known for sure of the machine before less became known. A break, a restart, a new visit, a slip taken back
or a step that was shown and not answered hides it, and forgets nothing that was tied, wedged or taken off.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.engine.messages.events import Shown, StopWithdrawn
from wizard.engine.state import queries
from wizard.engine.state.job_view import JobView
from wizard.engine.state.machine_view import WIDENINGS, words_of
from wizard.flow.model import Step
from wizard.safety import Needs

LESS_KNOWN = WIDENINGS | {Shown.kind, StopWithdrawn.kind}
"""The kinds of change that hide what was known, and don't say that it is otherwise."""


@dataclass(frozen=True, slots=True)
class LastKnown:
    """One condition that is not sure any more: its value before, and since when it was so (UTC, ISO 8601).

    ``changing``: an act that may change it was on the screen since, so nobody is asked how it came to be otherwise.
    """

    condition: str
    value: str
    at: str
    changing: bool = False


def last_known(view: JobView) -> Mapping[str, LastKnown]:
    """The conditions that a widening made less known, each with what was known for sure before it."""
    unsure = {name for name, values in queries.belief(view).items() if len(values) > 1}
    widened: set[str] = set()
    shown: set[str] = set()
    found: dict[str, LastKnown] = {}
    aside = {given.seq for given in view.state.given if given.aside}
    for change in reversed(view.state.changes):
        for name, values in change.belief.items() if change.seq not in aside else ():
            if name not in unsure:
                continue
            if change.why in LESS_KNOWN:
                widened.add(name)
                shown.update([name] if change.why == Shown.kind else [])
                continue
            if values & view.flow.conditions[name].latch:
                continue
            unsure.discard(name)
            if name in widened and len(values) == 1:
                found[name] = LastKnown(name, next(iter(values)), change.at, name in shown)
    return found


def against(view: JobView, step: Step, so: Needs) -> tuple[LastKnown, ...]:
    """What was known before, that an answer contradicts: nobody was seen to change it, the step doesn't change it, and
    it doesn't change by itself; or a technician put it in or on, so that somebody must have taken it away.
    """
    known = last_known(view)
    return tuple(
        last
        for name, last in known.items()
        if name in so
        and name not in step.may
        and not last.changing
        and last.value not in so[name]
        and (_in_the_way(view, last) or not _alone(view, last) & so[name])
    )


def _alone(view: JobView, last: LastKnown) -> frozenset[str]:
    """What it may have become while nobody attended."""
    return frozenset(view.flow.conditions[last.condition].alone.get(last.value, ()))


def _in_the_way(view: JobView, last: LastKnown) -> bool:
    """True for what was left in a machine that may not be used like that: tied, wedged, propped."""
    row = view.flow.reaches.get(queries.LEFT_IN_USE)
    wanted = row.needs.get(last.condition) if row is not None else None
    return (
        wanted is not None
        and last.value not in wanted
        and bool(view.flow.conditions[last.condition].handover)
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
