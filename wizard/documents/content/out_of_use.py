"""Whether the machine may be used at the end of a visit, and what forbids it, as the papers say it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.documents.content.stoppages import StopInForce, stoppages
from wizard.engine.queries import machine_queries, proof_queries, stopped
from wizard.engine.queries.standing_stops import standing
from wizard.engine.safety.flow_rules import LEFT_IN_USE, LEFT_OUT_OF_USE
from wizard.engine.state import condition_words
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Stop
from wizard.safety import Barred

LEAVING = (LEFT_IN_USE, LEFT_OUT_OF_USE)
"""The reaches of the steps that leave a machine."""


def forbidding(view: JobView) -> tuple[str, ...]:
    """What forbids the machine's use, in the flow's words: latches, stops of earlier visits that stand, and what stands
    in the way of a proof.
    """
    return tuple(dict.fromkeys(_reasons(view)))


def _reasons(view: JobView) -> Iterator[str]:
    conditions, known = view.flow.conditions, machine_queries.belief(view)
    for name in machine_queries.latched(view):
        condition, causes = conditions[name], stopped.causes(view, name)
        yield from (cause.says for cause in causes)
        if not causes:
            yield f"{condition.says}: {condition_words.words_of(condition, known[name] & condition.latch)}"
    known_stops = (view.flow.stops[h.stop] for h in standing(view) if h.stop in view.flow.stops)
    yield from (stop.says for stop in known_stops if of_the_machine(view, stop))
    model = view.model
    for act in proof_queries.proof_acts(view):
        coming = model.chain(known, model.acts[act].needs)
        if isinstance(coming, Barred) and not coming.values & conditions[coming.condition].latch:
            condition = conditions[coming.condition]
            yield f"{condition.says}: {condition_words.words_of(condition, coming.values)}"


def hazards(view: JobView) -> tuple[str, ...]:
    """Where something forbids its use: what is dangerous about what was confirmed and not repaired, for who works on
    it ('sharp edges'). A customer is told the risks.
    """
    found = (fault.hazard for fault in _left(view)) if forbidding(view) else ()
    return tuple(dict.fromkeys(words for words in found if words))


def risks(view: JobView) -> tuple[str, ...]:
    """Where something forbids its use: what comes of using it with what was confirmed and not repaired, as customers
    are told.
    """
    found = (fault.remedy.risk for fault in _left(view)) if forbidding(view) else ()
    return tuple(dict.fromkeys(words for words in found if words))


def _left(view: JobView) -> Iterator[Fault]:
    """The faults that were confirmed and not repaired."""
    fitted = {r.fault for r in view.state.repairs if r.holds}
    flow, decided = view.flow, view.state.decided or ()
    return (flow.faults[f] for f in decided if f in flow.faults and f not in fitted)


def use_forbidden(view: JobView) -> tuple[str, ...]:
    """Why the machine must not be used, in the flow's words: stops that stand and what else forbids it; none where
    work was stopped for people alone.
    """
    stops = tuple(one.stop for one in stoppages(view) if not one.cleared)
    reasons = forbidding(view)
    if not reasons and not any(of_the_machine(view, stop) for stop in stops):
        return ()
    return tuple(dict.fromkeys((*(stop.says for stop in stops), *reasons)))


def cleared_words(view: JobView) -> tuple[str, ...]:
    """Sentences on the stops that somebody said are over, with who: none of them was asked anew since, else it would
    be none.
    """
    found = (one for one in stoppages(view) if one.cleared)
    return tuple(f"{one.stop.says} Said to be over, by {_names(one)}; not asked anew yet." for one in found)


def _names(one: StopInForce) -> str:
    return ", and ".join(dict.fromkeys(release.name for release in one.releases))


def of_the_machine(view: JobView, stop: Stop) -> bool:
    """False for a stop that says only that people were near: what is asked last before power is of no machine."""
    return not stop.so or not all(c in view.flow.conditions and view.flow.conditions[c].last for c in stop.so)


def out_of_use(view: JobView) -> bool:
    """True when work was stopped, parts are on order, something forbids its use, or it was left out of use."""
    waits = proof_queries.ordered(view.state) or left_out_of_use(view)
    return waits or bool(forbidding(view) or stoppages(view))


def left_out_of_use(view: JobView) -> bool:
    """True where it was left out of use on this visit, whatever for: by the reach of the step that left it last; before
    any did, by what is believed of the machine, its tag among it.
    """
    visit = view.state.visit.number if view.state.visit else 0
    for given in reversed(view.state.answer_records):
        step = view.flow.step(given.ref)
        if step is not None and step.reach in LEAVING and not given.aside and given.visit == visit:
            return step.reach == LEFT_OUT_OF_USE
    row = view.flow.reaches.get(LEFT_OUT_OF_USE)
    return row is not None and not view.model.missing(machine_queries.belief(view), row.needs)
