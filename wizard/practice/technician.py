"""A technician at a practice machine, led by the advice: an answer source, as a case or a person is one."""

from __future__ import annotations

from itertools import islice

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.answer_source import RepairReply, Reply
from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.guidance.advice_order import follow, searching
from wizard.engine.guidance.found_defects import against_no_fault
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.messages.commands import Release
from wizard.engine.queries import machine_queries, next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_ref
from wizard.flow.model import Fact, Fault, Step
from wizard.practice.answering import Crew, StepQuestion, generator, reply
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.machines.practice_machine import Machine, on_set_feet, with_faults

MOST_REPAIRS = 4
"""The most repairs that are made on one machine: an estimate."""
GUESS = "The likeliest by all that was found."
"""Why a part goes in that no test of its own confirmed."""


FEET = "feet"
"""The fault of a machine that stands on loose or uneven feet, in the practice flow."""


def feet_were_set(view: JobView) -> bool:
    """True once the feet were set at the close: what rocked stands."""
    return any(g.inspection == "close" and g.step == "stand" for g in view.state.answer_records)


class Technician:
    """Answers every question of a job at one machine. ``healthy`` is the machine without its faults.

    The faults of what was fitted are gone from then on, and once the feet were set at the close they stand; a part for
    a fault that isn't there changes nothing.
    """

    def __init__(self, practice: Practice, healthy: Machine, machine: Machine, crew: Crew) -> None:
        self._practice, self._healthy, self._crew = practice, healthy, crew
        self._came = machine
        self._known = {(frozenset(machine.faults), False): machine}

    def machine(self, view: JobView) -> Machine:
        """Return the machine as it is now: without the faults that were repaired, its feet as they were set."""
        fitted = {r.fault for r in view.state.repairs if r.outcome is RepairOutcome.FITTED}
        left = {f: s for f, s in self._came.faults.items() if f not in fitted}
        feet = feet_were_set(view)
        key = (frozenset(left), feet)
        if key not in self._known:
            now = with_faults(self._practice, self._healthy, left)
            self._known[key] = on_set_feet(now) if feet else now
        return self._known[key]

    def fact(self, view: JobView, fact: Fact) -> str:
        """The fact as it is; not known at arrival where that is drawn, until it is in sight."""
        true = self._came.facts.get(fact.id, fact.usual)
        unknown = self._practice.machines[self._came.kind].unknown.get(fact.id, 0.0)
        later = next((v.id for v in fact.values if v.later), "")
        hidden = generator(self._came, StepRef("fact", fact.id), 0).random() < unknown
        if later and hidden and fact.id not in next_queries.facts_in_sight(view):
            return later
        return true or ("" if not fact.required else "not given")

    def complaint(self, view: JobView) -> str:
        """The complaint that the flow is about."""
        return view.flow.complaint

    def release(self, view: JobView, condition: str) -> Release:
        """The owner says that the cause of a stop is over."""
        return Release(condition, "The owner", "Repaired since.")

    def coming(self, view: JobView) -> NextUp:
        """Where the advice leads until enough is known, then the flow's own order."""
        coming = next_queries.next_up(view)
        return follow(view, advice(view)) if searching(view, coming) else coming

    def reply(self, view: JobView, run: Run, step: Step) -> Reply:
        """What the machine answers."""
        where = StepRef(run.inspection, step.id)
        turn = sum(
            (g.inspection, g.step) == (where.inspection, where.step) for g in view.state.answer_records
        )
        return reply(self._practice, self.machine(view), self._crew, StepQuestion(view, where, step, turn))

    def faults(self, view: JobView) -> tuple[str, ...]:
        """The faults that the advice calls decided, without one that excludes the others, else the likeliest; and what
        is worth doing along.

        Nobody goes on for ever: after so many repairs what is left is somebody else's.
        """
        if len(view.state.repairs) >= MOST_REPAIRS:
            return ()
        counsel = advice(view)
        decided = counsel.decided if counsel is not None else ()
        along = (*counsel.along, *counsel.found_along) if counsel is not None else ()
        single = not view.state.repairs
        if len(decided) > 1 or not single:
            decided = tuple(f for f in decided if not view.flow.faults[f].alone)
        likely = (r.fault for r in ranking(view) if single or not view.flow.faults[r.fault].alone)
        chosen = decided or tuple(islice(likely, 1))
        if any(view.flow.faults[f].alone for f in chosen) and (bad := against_no_fault(view)):
            chosen = tuple(one.fault for one in bad)
        return (
            chosen
            if any(view.flow.faults[f].alone for f in chosen)
            else tuple(dict.fromkeys((*chosen, *along)))
        )

    def repair(self, view: JobView, fault: Fault) -> RepairReply:
        """Fitted; declined where what the remedy needs can't be had on this machine."""
        if barred := machine_queries.barred(view, repair_ref(view, fault.id)):
            return RepairReply(RepairOutcome.DECLINED, barred)
        return RepairReply(RepairOutcome.FITTED, GUESS)
