"""What was known for sure of the machine before less became known. A break, a restart, a new visit, a slip taken back,
an answer undone or corrected, or a step that was shown and not answered hides it, and forgets nothing that was tied,
wedged or taken off.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wizard.engine.messages.event_kind import EventKind
from wizard.engine.queries import machine_queries
from wizard.engine.safety.flow_rules import LEFT_IN_USE
from wizard.engine.state.condition_words import words_of
from wizard.engine.state.job_state import BeliefChange
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Step
from wizard.safety import Needs

LESS_KNOWN = frozenset((EventKind.WIDENED, EventKind.SHOWN, EventKind.STOP_WITHDRAWN, EventKind.UNDONE))
"""The events that hide what was known, and don't say that it is otherwise. So does a correction: what its step touched
is asked anew.
"""


@dataclass(frozen=True, slots=True)
class LastKnown:
    """What was last known of one condition: the values that it may have had, and when (UTC, ISO 8601).

    ``widened``: less is known since. ``changing``: an act that may change it was on the screen since, so nobody is
    asked how it came to be otherwise. ``begun``: what that act may have made of it, since no answer said: a rod that is
    off, a tub that is tied. ``ended``: that act was answered, and its answer left open what became of this.
    """

    condition: str
    values: frozenset[str]
    at: str
    widened: bool = False
    changing: bool = False
    begun: frozenset[str] = frozenset()
    ended: bool = False

    @property
    def how_begun(self) -> str:
        """Why it may be as it was ``begun``, in words."""
        return "worked at since, and not looked at again" if self.ended else "begun and not finished"


def last_known(view: JobView, of: Iterable[str] | None = None) -> Mapping[str, LastKnown]:
    """What was last known of each condition, where that says anything: before less became known, or as it still is.

    ``of``: these conditions alone.
    """
    conditions, here = view.flow.conditions, machine_queries.belief(view)
    open_names = dict.fromkeys(here if of is None else (name for name in of if name in here))
    widened: set[str] = set()
    shown: dict[str, tuple[frozenset[str], bool]] = {}
    found: dict[str, LastKnown] = {}
    mistaken = {given.seq for given in view.state.answer_records if given.mistaken}
    corrected = {given.seq for given in view.state.answer_records if given.instead_of}
    now_shown = _now_shown(view)
    for change in reversed(view.state.changes):
        if not open_names:
            break
        for name in [n for n in open_names if n in change.belief] if change.seq not in mistaken else ():
            values = change.belief[name]
            if change.event in LESS_KNOWN or change.seq in corrected:
                widened.add(name)
                if change.event is EventKind.SHOWN and change.seq != now_shown:
                    shown.setdefault(name, (values, _answered(view, change)))
            elif not values & conditions[name].latch:
                del open_names[name]
                if values < set(conditions[name].values) - conditions[name].latch:
                    made, ended = shown.get(name, (values, False))
                    found[name] = LastKnown(
                        name,
                        values,
                        change.at,
                        name in widened,
                        name in shown,
                        (made - values) & left_in(view, name),
                        ended,
                    )
    return found


def _answered(view: JobView, shown: BeliefChange) -> bool:
    """True where the act that was put on screen by this event was answered, and the answer stands."""
    return any(
        given.seq > shown.seq and (given.run, given.step) == (shown.run, shown.step) and not given.mistaken
        for given in view.state.answer_records
    )


def _now_shown(view: JobView) -> int:
    """The event that put on screen what stands there now, 0 for none: nobody has begun that act for it."""
    run, shown = view.state.run, view.state.shown_seqs
    return shown.get((run.inspection, run.at) if run is not None else ("", view.state.goal), 0)


def against(view: JobView, step: Step, so: Needs) -> tuple[LastKnown, ...]:
    """What was known before and an answer contradicts: nobody was seen to change it, and the step doesn't change it.

    What may change by itself is left out, but for what a technician put in or on: somebody must have taken it away.
    """
    return tuple(
        last
        for name, last in last_known(view, (c for c in so if c not in step.may)).items()
        if not last.changing
        and not last.values & so[name]
        and (in_the_way(view, last) or (last.widened and not _alone(view, last) & so[name]))
    )


def _alone(view: JobView, last: LastKnown) -> frozenset[str]:
    """What it may have become while nobody attended."""
    alone = view.flow.conditions[last.condition].alone
    return frozenset(after for value in last.values for after in alone.get(value, ()))


def in_the_way(view: JobView, last: LastKnown) -> bool:
    """True for what was left in a machine that may not be used like that: tied, wedged, propped, off."""
    row = view.flow.reaches.get(LEFT_IN_USE)
    wanted = row.needs.get(last.condition) if row is not None else None
    handover = view.flow.conditions[last.condition].handover
    return wanted is not None and not last.values & wanted and bool(handover)


def left_in(view: JobView, condition: str) -> frozenset[str]:
    """The values of a condition that the next one at the machine must be told of: tied, wedged, off, tilted."""
    row = view.flow.reaches.get(LEFT_IN_USE)
    wanted = row.needs.get(condition) if row is not None else None
    return frozenset(view.flow.conditions[condition].handover) - wanted if wanted is not None else frozenset()


def words(view: JobView, last: LastKnown) -> str:
    """'Tub: tied (09:52)'; 'Parts inside: may be off, begun and not finished (09:52)'."""
    condition = view.flow.conditions[last.condition]
    text = words_of(condition, last.values)
    if last.begun and not last.values & last.begun:
        text = f"may be {words_of(condition, last.begun)}: {last.how_begun}"
    return f"{condition.says}: {text} ({machine_queries.clock_words(view, last.at)})"


def otherwise(view: JobView, step: Step) -> tuple[LastKnown, ...]:
    """What was known before of the conditions that a step's answers speak of, where its usual answer says otherwise; of
    what is known still only what was left in or off.
    """
    usual = step.usual or (step.answers[0] if step.answers else None)
    values: dict[str, frozenset[str]] = {}
    if step.many:
        for answer in step.answers:
            values.update(answer.so if answer.usual else answer.unticked_so)
    elif usual is not None:
        values.update(usual.so)
    known = (
        last
        for name, last in last_known(view, values).items()
        if last.widened or (name not in step.may and (last.begun or in_the_way(view, last)))
    )
    return tuple(x for x in known if not x.values & values[x.condition] or x.begun - values[x.condition])


def asked_of(view: JobView, step: Step) -> tuple[str, ...]:
    """The nouns of what isn't known of all that a step with ticks asks, where some of it is known: why it is asked
    again. Empty where all or none of it is known, and for other steps.
    """
    if not step.many:
        return ()
    known = machine_queries.belief(view)
    spoken_of = [c for answer in step.answers for c in {**answer.so, **answer.unticked_so} if c in known]
    names = dict.fromkeys(spoken_of)
    open_names = [c for c in names if len(known[c]) > 1]
    return tuple(view.flow.conditions[c].says for c in open_names) if len(open_names) < len(names) else ()
