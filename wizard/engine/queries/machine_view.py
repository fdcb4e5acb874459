"""How the machine stands, in words: every condition with since when and by which step, and the few of the badge."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.engine.messages.event_kind import EventKind
from wizard.engine.queries import machine_queries
from wizard.engine.queries.hands_out import hands_out
from wizard.engine.queries.last_known import last_known
from wizard.engine.queries.standing_stops import standing, stood_since
from wizard.engine.state.condition_words import words_of
from wizard.engine.state.job_state import BeliefChange, State
from wizard.engine.state.job_view import JobView
from wizard.safety import Condition

BADGES = 3
"""How many conditions the badge names."""


@dataclass(frozen=True, slots=True)
class Standing:
    """One condition: its noun, what it may be, whether that is known for sure, since which event, and by which step.

    ``at`` is the wall time (UTC, ISO 8601) and ``by`` the title of the step's inspection, both empty where no event
    told. ``widened``: the reason of a widening, where that was the last that was told of it.
    """

    condition: str
    says: str
    words: str
    sure: bool
    at: str = ""
    by: str = ""
    widened: str = ""


@dataclass(frozen=True, slots=True)
class Badge:
    """What the badge says: a few words a condition, the one that matters most first.

    ``hands_out``: less became known while a step or a repair was open (an answer put right among that), and what it
    needs is asked anew; until the first of that is answered. ``live``: power may be on.
    ``stopped``: a latch stands. ``going``: the words of a program that was running when it was told last and may go on,
    whatever less became known since; empty where none was.
    """

    words: tuple[str, ...]
    hands_out: bool = False
    live: bool = True
    stopped: bool = False
    going: str = ""


def standings(view: JobView) -> tuple[Standing, ...]:
    """Every condition of this machine as it is believed to be, in the library's order."""
    known = machine_queries.belief(view)
    last = last_changes(view.state)
    return tuple(_standing(view, view.flow.conditions[c], v, last.get(c)) for c, v in known.items())


def last_changes(state: State) -> Mapping[str, BeliefChange]:
    """The last change of belief of each condition of which anything was ever told."""
    return {condition: change for change in state.changes for condition in change.belief}


def _standing(
    view: JobView, condition: Condition, values: frozenset[str], change: BeliefChange | None
) -> Standing:
    sure = len(values) == 1
    words = words_of(condition, values) if change is not None or sure else "not asked"
    if change is None:
        return Standing(condition.id, condition.says, words, sure)
    run = view.state.find_run(change.run)
    inspection = view.flow.inspections.get(run.inspection) if run is not None else None
    first = stood_since(view, condition.id, values)
    by = inspection.title if inspection is not None else ""
    return Standing(
        condition.id,
        condition.says,
        words,
        sure,
        first.at if first is not None else change.at,
        by,
        "" if by or sure else change.widening or change.event,
    )


def badge(view: JobView) -> Badge:
    """The conditions that matter for the hands now: latches first, and what words alone took off; then power, then what
    may fall, burn, shock or move, or was so when it was told last, in the library's order; then what else has its own
    word.
    """
    known, conditions = machine_queries.belief(view), view.flow.conditions
    latched = tuple(_latch_words(conditions[c], v) for c, v in known.items() if v & conditions[c].latch)
    supply = (_doubtful(conditions[c], known[c]) for c in known if c == SUPPLY and len(known[c]) > 1)
    live = "live" in known.get(SUPPLY, frozenset(("live",)))
    runs = live and PROGRAM in view.state.belief
    power = (_short(conditions[c], known[c]) for c in known if c == SUPPLY)
    before = _urgent_before(view)
    urgent = (
        _short(conditions[c], v) if v <= conditions[c].urgent else before.get(c, "") for c, v in known.items()
    )
    established = (
        _running(conditions[c], v) if runs and c == PROGRAM else _short(conditions[c], v)
        for c, v in known.items()
    )
    words = (*latched, *_said_over(view), *supply, *power, *urgent, *established)
    return Badge(
        words=tuple(dict.fromkeys(w for w in words if w))[:BADGES],
        hands_out=hands_out(view),
        live=live,
        stopped=bool(latched),
        going=_running(conditions[PROGRAM], known[PROGRAM]) if runs and _ran(view) else "",
    )


def _said_over(view: JobView) -> Iterator[str]:
    """'GAS?': what an earlier visit was stopped for, which somebody said is over and nobody found well since."""
    known = machine_queries.belief(view)
    for stoppage in standing(view):
        stop = view.flow.stops.get(stoppage.stop)
        for name, values in (stop.so if stop is not None else {}).items():
            condition = view.flow.conditions.get(name)
            latch = values & condition.latch if condition is not None else frozenset()
            if condition is not None and latch and not known[name] & latch:
                yield f"{_latch_words(condition, latch)}?"


def _urgent_before(view: JobView) -> dict[str, str]:
    """'PROPPED?', by condition: what may fall, burn or move as it was told last, while nobody knows it any more."""
    known, found = machine_queries.belief(view), {}
    for name, last in last_known(view).items():
        condition = view.flow.conditions[name]
        hidden = len(known[name]) > 1 and (last.widened or last.changing)
        begun = frozenset[str]() if last.ended else last.begun & condition.urgent
        feared = last.values if last.values <= condition.urgent else begun
        if hidden and feared and (words := _short(condition, feared)):
            found[name] = f"{words}?"
    return found


def _doubtful(condition: Condition, values: frozenset[str]) -> str:
    """The badge words of a condition that is known in part: both of two values, else that it isn't known."""
    both = [words for value, words in condition.short.items() if value in values]
    if len(values) == len(both) == 2:
        return " OR ".join(both)
    return f"{condition.says.upper()} NOT KNOWN"


SUPPLY = "supply"
"""The library's condition of power: the one that the badge always names."""


PROGRAM = "program"
"""The library's condition of what the machine is doing: whether one may run, not only that one does."""


def _ran(view: JobView) -> bool:
    """True where a program may have been running when that was last known, however little is known since."""
    told = (c for c in reversed(view.state.changes) if PROGRAM in c.belief and c.event not in _HIDING)
    last = next(told, None)
    return last is not None and bool(last.belief[PROGRAM] & view.flow.conditions[PROGRAM].short.keys())


_HIDING = (EventKind.WIDENED, EventKind.STOP_WITHDRAWN)
"""The events that say nothing of the machine, but that less is known of it."""


def _running(condition: Condition, values: frozenset[str]) -> str:
    """The badge words of a program that may run."""
    return next((words for value, words in condition.short.items() if value in values), "")


def _latch_words(condition: Condition, values: frozenset[str]) -> str:
    """The badge words of a latch that stands."""
    return next(
        (condition.short[v] for v in values & condition.latch if v in condition.short), condition.says.upper()
    )


def _short(condition: Condition, values: frozenset[str]) -> str:
    """The badge words of a condition that is known and has some, or of which each value that it may have is urgent:
    'TILTED/PROPPED'; empty otherwise, and of a latch.
    """
    if values & condition.latch or not (len(values) == 1 or values <= condition.urgent):
        return ""
    return "/".join(condition.short[v] for v in condition.values if v in values and v in condition.short)
