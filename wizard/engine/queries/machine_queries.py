"""What is believed of the machine, what stands in the way of an act, and how the machine is left."""

from __future__ import annotations

from wizard.domain.clock_times import clock_time
from wizard.domain.references import ActRef
from wizard.engine.queries.standing_stops import stood_since
from wizard.engine.safety.flow_rules import LEFT_IN_USE, LEFT_OUT_OF_USE
from wizard.engine.state.job_view import JobView
from wizard.safety import Barred, BarredKind, Belief, Condition


def belief(view: JobView) -> Belief:
    """What is believed of each condition of this machine: as events told, else all that it may be but a latch."""
    return view.belief


def ready(view: JobView) -> bool:
    """True when the step on screen may be answered: what it needs held when it was shown, and nothing changed
    since.
    """
    run = view.state.run
    if run is None:
        return False
    act = view.model.acts.get(run.ref)
    free = act is None or not (act.needs or act.may)
    return free or view.state.shown == (run.id, run.at)


def unmet(view: JobView, act: ActRef) -> tuple[str, ...]:
    """The conditions that an act needs otherwise than they are believed to be, in the order in which they are
    asked.
    """
    model = view.model
    known = model.acts.get(act)
    return model.missing(belief(view), known.needs) if known is not None else ()


def unmet_words(view: JobView, act: ActRef) -> str:
    """Why an act may not be done now, as a sentence."""
    missing = unmet(view, act)
    if not missing:
        return "What this step needs is asked first."
    names = ", ".join(view.flow.conditions[c].says for c in missing)
    return f"This needs to be known first: {names}."


def barred(view: JobView, act: ActRef) -> str:
    """Why an act can't be made ready now, as a sentence, or empty: what stands in the way at once or further on.

    Nobody is asked ten questions before being told that the eleventh can't come out well.
    """
    model = view.model
    known = model.acts.get(act)
    if known is None or not known.needs:
        return ""
    coming = model.chain(belief(view), known.needs)
    return barred_words(view, coming) if isinstance(coming, Barred) else ""


def barred_words(view: JobView, bar: Barred) -> str:
    """What stands in the way, as a sentence."""
    condition = view.flow.conditions[bar.condition]
    values = bar.values & condition.latch if bar.kind is BarredKind.LATCH else bar.values
    now = " or ".join(condition.values[v] for v in condition.values if v in values)
    since = stood_since(view, bar.condition, values) or view.state.belief.get(bar.condition)
    known = f"{condition.says}: {now}" + (f" (since {clock_words(view, since.at)})" if since else "")
    if bar.kind is BarredKind.LATCH:
        return f"{known}. Work stays stopped until it is cleared."
    if bar.kind is BarredKind.KNOWN_BAD and _changes_alone(condition, bar):
        return (
            f"{known}. This waits until that has changed: after a break it is asked again. Or leave it out. "
            "If it can't wait: stop work."
        )
    if bar.kind is BarredKind.KNOWN_BAD:
        return f"{known}. That must be repaired, or looked at again, first."
    return f"{known}. Nothing in this flow can make it as it must be."


def _changes_alone(condition: Condition, bar: Barred) -> bool:
    """True where what bars may turn by itself into what is needed, as a person may come: there is nothing to repair."""
    return any(condition.alone.get(value, frozenset()) & bar.needed for value in bar.values)


def clock_words(view: JobView, at: str) -> str:
    """A moment (UTC, ISO 8601) as a local clock shows it; with its day where that isn't the day of the last event."""
    return clock_time(at, view.state.at)


def latched(view: JobView) -> tuple[str, ...]:
    """The conditions that a stop latched and nobody released, in the library's order."""
    return view.model.latched(belief(view))


def left_row(view: JobView) -> str:
    """The row of leaving that the machine satisfies as it is believed to be; empty where it satisfies none."""
    model, known = view.model, belief(view)
    rows = (r for r in (LEFT_IN_USE, LEFT_OUT_OF_USE) if r in view.flow.reaches)
    return next((r for r in rows if not model.missing(known, view.flow.reaches[r].needs)), "")


def not_left_safe(view: JobView) -> tuple[str, ...]:
    """The conditions that the record has otherwise than a machine is left out of use, in the library's order, and what
    is surely tied or off; not those of which nothing was ever told.
    """
    row, known = view.flow.reaches.get(LEFT_OUT_OF_USE), belief(view)
    established = {condition for change in view.state.changes for condition in change.belief}
    missing = view.model.missing(known, row.needs) if row is not None else ()
    return tuple(c for c in known if c in established and (c in missing or c in left_otherwise(view)))


def left_otherwise(view: JobView) -> tuple[str, ...]:
    """What may be left so in a machine out of use, and is surely otherwise than in one in use: tied, off."""
    rows, known = view.flow.reaches, belief(view)
    if LEFT_IN_USE not in rows or LEFT_OUT_OF_USE not in rows:
        return ()
    wanted, allowed = rows[LEFT_IN_USE].needs, rows[LEFT_OUT_OF_USE].needs
    conditions = view.flow.conditions
    return tuple(
        c
        for c, values in known.items()
        if c in wanted and c not in allowed and conditions[c].handover and not values & wanted[c]
    )
