"""Work that is stopped: which stop is dealt with now, the gravest first, and which of its lines are open.

The order of the stops in the flow's files is that of their gravity. Where one sends everybody outdoors, no line of
another is dealt with before somebody released it: it might be a switch, and there is gas.
"""

from __future__ import annotations

from wizard.domain.vocabulary import JobState
from wizard.engine.queries import machine_queries
from wizard.engine.queries.measured_bad import to_measure
from wizard.engine.queries.standing_stops import Cause, by_gravity, causes_standing
from wizard.engine.state.job_state import Run, State, Stoppage
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow, Stop


def open_lines(flow: Flow, stoppage: Stoppage) -> tuple[str, ...]:
    """The make-safe lines of a stop that were not dealt with yet."""
    lines = flow.stops[stoppage.stop].make_safe if stoppage.stop in flow.stops else ()
    return tuple(line for n, line in enumerate(lines) if n not in stoppage.done)


ACTED_ON = (
    "A line of this stop was dealt with, so it is no slip: it stands until it is cleared, or for this visit."
)


def was_acted_on(stoppage: Stoppage) -> bool:
    """True once a line of a stop was done, or said to be impossible: it was read, and meant."""
    return bool(stoppage.done)


def not_done(flow: Flow, stoppage: Stoppage) -> tuple[str, ...]:
    """The make-safe lines of a stop that could not be done."""
    lines = flow.stops[stoppage.stop].make_safe if stoppage.stop in flow.stops else ()
    return tuple(line for n, line in enumerate(lines) if stoppage.done.get(n))


def unattended(view: JobView) -> bool:
    """True where nothing of a stop could be done, and no note was written since: nobody says who keeps people away."""
    for stoppage in view.state.stops:
        lines = view.flow.stops[stoppage.stop].make_safe if stoppage.stop in view.flow.stops else ()
        none_done = bool(lines) and len(not_done(view.flow, stoppage)) == len(lines)
        if none_done and not any(note.seq > stoppage.seq for note in view.state.notes_kept):
            return True
    return False


UNATTENDED = (
    "Nothing was made safe. Write a note (n): who was told, and who keeps people away from the machine."
)


def gravest_first(view: JobView) -> tuple[Stoppage, ...]:
    """The stops of this visit, the gravest first."""
    return by_gravity(view.flow, view.state.stops)


def latches(view: JobView, stoppage: Stoppage) -> tuple[str, ...]:
    """The conditions that a stop latched."""
    stop, conditions = view.flow.stops.get(stoppage.stop), view.flow.conditions
    changes = stop.so if stop is not None else {}
    return tuple(c for c, values in changes.items() if c in conditions and values & conditions[c].latch)


def causes(view: JobView, condition: str) -> tuple[Stop, ...]:
    """The stops that latched a condition and were neither released nor taken back since, each once."""
    held = (h for h in view.state.stoppages if not h.slip and condition in latches(view, h))
    names = dict.fromkeys(h.stop for h in held if not released_since(view.state, condition, h))
    return tuple(view.flow.stops[name] for name in names)


def released_since(state: State, condition: str, stoppage: Stoppage) -> bool:
    """True where somebody released a condition after this stop."""
    return any(r.condition == condition and r.seq > stoppage.seq for r in state.releases)


def kept_by(view: JobView, condition: str) -> str:
    """A make-safe line that could not be done, of a stop of this visit that latched the condition; or empty. While
    there is one, the condition is not released on this visit.
    """
    stops = (h for h in view.state.stops if condition in latches(view, h))
    return next((line for h in stops for line in not_done(view.flow, h)), "")


def unreleasable(view: JobView, condition: str) -> str:
    """Why a latched condition can't be released now, as a sentence, or empty."""
    if view.state.job is JobState.STOPPED and (line := kept_by(view, condition)):
        return f"Not done, so the stop stands: {line} It is cleared on a new visit."
    if where := to_measure(view, condition):
        title = view.flow.inspections[where.inspection].title
        again = " on a new visit" if view.state.job is JobState.STOPPED else ""
        return f"It was measured bad. Measure it again{again} ({title}): only then it is cleared."
    return ""


def stands(view: JobView, stoppage: Stoppage) -> bool:
    """True while something that a stop latched is released by nobody; of one without a latch until the visit ends."""
    latched = latches(view, stoppage)
    return not latched or bool(set(latched) & set(machine_queries.latched(view)))


def to_deal_with(view: JobView) -> tuple[Stoppage, ...]:
    """The stops whose lines are dealt with now, the gravest first."""
    stops = gravest_first(view)
    outdoors = [h for h in stops if _outdoors(view.flow, h) and stands(view, h)]
    return tuple(outdoors[:1]) or stops


def sent_out(view: JobView, stoppage: Stoppage) -> bool:
    """True where no line of a stop was ever on screen: another stop of its visit sent everybody outdoors, and nobody
    released that before the visit was over.
    """
    if stoppage.done or _outdoors(view.flow, stoppage):
        return False
    later = [x.seq for x in (*view.state.entries, *view.state.stoppages) if x.visit > stoppage.visit]
    held = (h for h in view.state.stoppages if h.visit == stoppage.visit and not h.slip)
    return any(
        not any(
            r.condition in latches(view, h) and h.seq < r.seq < min(later, default=r.seq + 1)
            for r in view.state.releases
        )
        for h in held
        if _outdoors(view.flow, h)
    )


def stopped_again(state: State, stoppage: Stoppage) -> Stoppage | None:
    """The next stop for the same reason, that was no slip; None where there is none."""
    again = (h for h in state.stoppages if h.stop == stoppage.stop and h.seq > stoppage.seq and not h.slip)
    return next(again, None)


def _outdoors(flow: Flow, stoppage: Stoppage) -> bool:
    return stoppage.stop in flow.stops and flow.stops[stoppage.stop].outdoors


def dealt_with(view: JobView) -> Stoppage | None:
    """The stop that is dealt with now: the gravest with an open line, else the gravest that stands."""
    stops = to_deal_with(view)
    left = [h for h in stops if open_lines(view.flow, h)] or [h for h in stops if stands(view, h)] or [*stops]
    return left[0] if left else None


def held_back(view: JobView) -> str:
    """Why what is on screen, or would be, may not be gone on with, as a sentence; empty where no stop keeps it back:
    none stands, or what is on screen asks for the cause of one.
    """
    causes = causes_standing(view) if view.state.job is JobState.WORKING else ()
    if not causes:
        return ""
    bottom = view.state.find_run(view.state.stack[0]) if view.state.stack else None
    if not view.state.goal and (bottom is None or _asks_cause(view, bottom, causes)):
        return ""
    return held_words(view, causes[0])


def held_words(view: JobView, cause: Cause) -> str:
    """That a stop stands, and what ends it, as a sentence."""
    known = view.flow.stops.get(cause.stop)
    says = known.says if known is not None else cause.stop
    return f"Work was stopped: {says} What it was stopped for is asked anew first, and nothing else ends the stop."


def _asks_cause(view: JobView, bottom: Run, causes: tuple[Cause, ...]) -> bool:
    """Whether a run asks for the cause of a stop: what establishes something by itself, or an inspection in which the
    question wasn't answered yet.
    """
    if bottom.only:
        return True
    answered = {g.ref for g in view.state.answers(bottom.id)}
    asked = (c.question for c in causes if c.question is not None)
    return any(q.inspection == bottom.inspection and q not in answered for q in asked)
