"""The machines, behind one door: the only module that knows ``transitions``.

Two small finite-state machines say what may follow: the steps of a run, and the life of a job. What must be true of
the machine before a step is shown is decided elsewhere (``wizard.safety``). Nothing from a flow's text becomes a
state, a trigger, a callback or an attribute: states are s0, s1, ... and triggers t0, t1, ... made here. The library's
conveniences that could bite are off: no automatic transitions, no queue, no model, no callbacks. Decide asks; it
never fires.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from transitions import Machine

from wizard.domain.vocabulary import JobAct, JobState
from wizard.flow.model import Destination, Flow, Inspection


class Moves:
    """A finite-state machine over any hashable names, asked and never fired.

    ``edges`` are (source, trigger, destination). Raises ValueError when two edges with one source and trigger differ.
    """

    def __init__(self, edges: Iterable[tuple[Any, Any, Any]]) -> None:
        self._states: dict[Any, str] = {}
        self._triggers: dict[Any, str] = {}
        table: dict[tuple[str, str], str] = {}
        for source, trigger, dest in edges:
            key = (self._name(self._triggers, "t", trigger), self._name(self._states, "s", source))
            if table.setdefault(key, self._name(self._states, "s", dest)) != self._states[dest]:
                raise ValueError(f"{source} has two ways on for {trigger}")
        self._machine = Machine(
            model=None,
            states=list(self._states.values()),
            transitions=[{"trigger": t, "source": s, "dest": d} for (t, s), d in table.items()],
            initial=next(iter(self._states.values())),
            auto_transitions=False,
            queued=False,
            send_event=False,
        )
        self._names = {made: given for given, made in self._states.items()}

    @staticmethod
    def _name(known: dict[Any, str], letter: str, name: Any) -> str:
        return known.setdefault(name, f"{letter}{len(known)}")

    def after(self, source: Any, trigger: Any) -> Any | None:
        """The state that follows, or None when the machine has no such transition."""
        if source not in self._states or trigger not in self._triggers:
            return None
        # Not get_transitions: it goes through every state for each question, which takes seconds on a large flow.
        event = self._machine.events.get(self._triggers[trigger])
        found = event.transitions.get(self._states[source]) if event else None
        return self._names[str(found[0].dest)] if found else None


OUT = ("", "")
"""The state of a run that is not in any step."""

OVER = "end"
"""Where a run goes that is over."""

_STYLED = re.compile(r"\s*(classDef|Class) |\s*$")
"""Lines of a diagram that give colours, or are empty: a page has its own."""

_UNABLE = ("unable",)
"""What leads on from a step that was not done, whatever its answers are called."""


class RunMachine:
    """The steps of every inspection of a flow: entering, answering, ending."""

    def __init__(self, flow: Flow) -> None:
        self._moves = Moves(_run_edges(flow))

    def after(self, inspection: str, step: str, answer: str, exhausted: bool = False) -> str | None:
        """The step that follows an answer, ``end``, or None when there is no such answer."""
        return self._goes(inspection, step, ("answer", answer, exhausted))

    def after_unable(self, inspection: str, step: str) -> str | None:
        """The step that follows one that was not done, ``end``, or None when there is no such step."""
        return self._goes(inspection, step, _UNABLE)

    def _goes(self, inspection: str, step: str, trigger: tuple[object, ...]) -> str | None:
        found = self._moves.after((inspection, step), trigger)
        return None if found is None else (found[1] or OVER)

    def may_enter(self, inspection: str, step: str) -> bool:
        """True when a run may begin, or be resumed, at this step."""
        return self._moves.after(OUT, ("enter", inspection, step)) is not None


def _run_edges(flow: Flow) -> Iterable[tuple[Any, Any, Any]]:
    yield OUT, ("rest",), OUT
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            here = (inspection.id, step.id)
            yield OUT, ("enter", *here), here
            for answer in step.answers:
                for exhausted in (False, True):
                    goes = answer.then if exhausted and answer.most else answer.next
                    yield here, ("answer", answer.id, exhausted), _place(inspection, goes)
            yield here, _UNABLE, _place(inspection, step.unable.next)


def _place(inspection: Inspection, goes: Destination | None) -> tuple[str, str]:
    return (inspection.id, goes.step) if goes is not None and goes.step else OUT


class JobMachine:
    """The life of a job: new, working, stopped, closed."""

    def may(self, job: JobState, act: JobAct) -> bool:
        """True when this act is open to a job in this state."""
        return _job().after(job, act) is not None


_LIFE = (
    (JobState.NEW, JobAct.BEGIN, JobState.WORKING),
    (JobState.WORKING, JobAct.WORK, JobState.WORKING),
    (JobState.WORKING, JobAct.STOP, JobState.STOPPED),
    (JobState.WORKING, JobAct.RELEASE, JobState.WORKING),
    (JobState.WORKING, JobAct.CLOSE, JobState.CLOSED),
    (JobState.STOPPED, JobAct.MAKE_SAFE, JobState.STOPPED),
    (JobState.STOPPED, JobAct.STOP, JobState.STOPPED),
    (JobState.STOPPED, JobAct.RELEASE, JobState.STOPPED),
    (JobState.STOPPED, JobAct.WITHDRAW, JobState.WORKING),
    (JobState.STOPPED, JobAct.CLOSE, JobState.CLOSED),
    (JobState.STOPPED, JobAct.VISIT, JobState.WORKING),
    (JobState.CLOSED, JobAct.VISIT, JobState.WORKING),
)


@lru_cache(maxsize=1)
def _job() -> Moves:
    return Moves(_LIFE)


class _Drawn:
    """What the library hangs its diagram on."""


def job_diagram() -> str:
    """The life of a job as a Mermaid state diagram: the library draws the transitions that ``JobMachine`` asks."""
    from transitions.extensions.diagrams import GraphMachine

    machine = GraphMachine(
        model=_Drawn(),
        states=[str(state) for state in JobState],
        transitions=[
            {"trigger": str(act), "source": str(source), "dest": str(dest)} for source, act, dest in _LIFE
        ],
        initial=str(JobState.NEW),
        auto_transitions=False,
        graph_engine="mermaid",
        title="The life of a job",
    )
    drawn = str(machine.get_combined_graph().draw(None))
    return "\n".join(line.rstrip() for line in drawn.splitlines() if not _STYLED.match(line)) + "\n"
