"""What to check next on this machine: the open inspections of a session, handed to the diagnosis as bids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from wizard.domain.references import ActRef, StepRef
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.guidance.evidence_columns import current_columns
from wizard.engine.guidance.found_defects import defects
from wizard.engine.guidance.session_ranking import base_network, machine_network, network_evidence
from wizard.engine.queries import inspection_queries, machine_queries, proof_queries
from wizard.engine.state.fault_evidence import confirmed
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Flow, Inspection, findings_of
from wizard.safety import Barred

if TYPE_CHECKING:
    from wizard.diagnosis.next_inspection.candidates import Access, Counsel, InspectionCandidate
    from wizard.diagnosis.next_inspection.mistake_costs import RepairCost

OBTAINED = 0.9
"""How often a finding is obtained once its inspection is done: an estimate; the rest can't be seen or reached."""


def advice(view: JobView) -> Counsel | None:
    """Every open inspection weighed, best first, or None while the machine's kind is unknown.

    The flow's own order stays the default. What an inspection needs is never among them: its minutes are part of it.
    """
    from wizard.diagnosis.next_inspection.advice import advise

    flow = view.flow
    network = machine_network(view)
    if network is None:
        return None
    base = base_network(view)
    now = current_columns(base, view) if base is not None else {}
    open_now = open_inspections(view)
    every = [candidate(view, i, now) for i in open_now]
    candidates = [one for one in every if one.gives]
    faults = [f for f in network.faults if f not in network.past]
    costs = {f: mistake_cost(flow, flow.faults[f]) for f in faults}
    untested = {f: tests(view, flow.faults[f]) for f in faults}
    return advise(
        network,
        network_evidence(network, view),
        candidates,
        costs,
        access=access(view, open_now),
        confirm={f: found for f, found in untested.items() if found},
        partless=[f for f in faults if not flow.faults[f].alone and not flow.faults[f].remedy.parts],
        found=[d.fault for d in defects(view) if d.fault not in network.since],
        seen=[f for f in faults if f not in network.since and shown(view, flow.faults[f])],
        looked=_looked(view),
    )


def mistake_cost(flow: Flow, fault: Fault) -> RepairCost:
    """What a mistake about a fault costs by the flow's own figures; a repair without parts costs its work alone."""
    from wizard.diagnosis.next_inspection.mistake_costs import RepairCost

    remedy = fault.remedy
    parts = flow.wrong_part.get(remedy.price, 0.0) if remedy.price is not None and remedy.parts else 0.0
    missed = flow.second_visit if fault.missed is None else fault.missed
    return RepairCost(remedy.minutes, parts, missed)


def _looked(view: JobView) -> bool:
    """True where a step of the search was answered, or one of the proofs: words alone look at nothing."""
    places = {*view.flow.find, *view.flow.prove}
    answers = (g for g in view.state.answer_records if g.inspection in places and not g.aside)
    return any(g.how is AnswerHow.ANSWER for g in answers)


def shown(view: JobView, fault: Fault) -> bool:
    """True where a step of a fault's own has shown it, and its repair will be proved."""
    return not fault.alone and bool(fault.confirm) and confirmed(view, fault)


def tests(view: JobView, fault: Fault) -> tuple[str, ...]:
    """The inspections of this machine that can confirm a fault; none once one of their steps did, or none is
    asked.
    """
    if confirmed(view, fault):
        return ()
    names = dict.fromkeys(where.inspection for where in fault.confirm)
    return tuple(n for n in names if inspection_queries.applies(view, view.flow.inspections[n]))


def open_inspections(view: JobView) -> tuple[Inspection, ...]:
    """The inspections of the search and of proving that apply, are open, and can be made ready now.

    What was looked at before a repair is open again while a proof that failed after it isn't explained. What only
    proves a repair tells nothing of where to look.
    """
    flow, again = view.flow, proof_queries.failed_proof(view) is not None
    ids = dict.fromkeys((*flow.find, *flow.prove))
    return tuple(
        inspection
        for inspection in map(flow.inspections.__getitem__, ids)
        if not inspection.after_only
        and (inspection_queries.pending(view, inspection.id) or (again and _once_more(view, inspection)))
        and not isinstance(way_in(view, inspection), Barred)
    )


def _once_more(view: JobView, inspection: Inspection) -> bool:
    """True for a part of the search that applies and was not looked at since the last repair; not for what is mostly
    asked: what the customer told of before the repair is told no otherwise after it.
    """
    stale = inspection_queries.applies(view, inspection) and inspection_queries.stale(
        view.state, inspection.id
    )
    words = sum(
        step.reach in view.flow.reaches and not view.flow.reaches[step.reach].needs
        for step in inspection.steps
    )
    return stale and 2 * words <= len(inspection.steps)


def way_in(view: JobView, inspection: Inspection) -> tuple[ActRef, ...] | Barred:
    """The acts that are asked before the first step of an inspection if each is answered the usual way."""
    model = view.model
    act = model.acts.get(inspection.references[0])
    hardest = max(
        (model.acts[ref] for ref in inspection.references if ref in model.acts),
        key=lambda found: len(found.needs),
        default=act,
    )
    return model.chain(machine_queries.belief(view), hardest.needs) if hardest is not None else ()


def candidate(view: JobView, inspection: Inspection, columns: Mapping[str, str]) -> InspectionCandidate:
    """An inspection as a check with its minutes and the findings it can tell, each in its column of now."""
    from wizard.diagnosis.next_inspection.candidates import InspectionCandidate

    return InspectionCandidate(
        id=inspection.id,
        says=inspection.title,
        minutes=inspection.minutes,
        gives={columns[f]: OBTAINED for f in sorted(findings_of(inspection.steps)) if f in columns},
        way=way_name(way_in(view, inspection)),
    )


def way_name(way: tuple[ActRef, ...] | Barred) -> str:
    """One name for each way in; empty where nothing is asked first."""
    return "" if isinstance(way, Barred) else " ".join(map(str, way))


def access(view: JobView, inspections: Iterable[Inspection]) -> Access:
    """What the way to each of these costs now, in minutes."""
    from wizard.diagnosis.next_inspection.candidates import Access

    costs: dict[str, float] = {}
    for inspection in inspections:
        way = way_in(view, inspection)
        if not isinstance(way, Barred):
            costs[way_name(way)] = sum(act_minutes(view.flow, act) for act in way)
    return Access(costs, {})


def act_minutes(flow: Flow, act: ActRef) -> float:
    """The usual minutes of one step that is asked for another; none of what the flow doesn't have."""
    found = flow.step(act) if isinstance(act, StepRef) else None
    return found.minutes if found is not None else 0.0
