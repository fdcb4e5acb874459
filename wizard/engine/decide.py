"""Decide: may this be done, here, now? The answer is the events it brings about, or a refusal in plain words.

Nothing is changed here and nothing is written. A lapse is decided before the command that met it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from wizard.engine import arrival, closing, corrections, inspecting, mending
from wizard.engine import commands as cmd
from wizard.engine.draft import Draft, Moment, Rules, held, void
from wizard.engine.events import DraftKept, Recorded
from wizard.engine.safety import LAPSE_AFTER
from wizard.engine.state import State
from wizard.errors import Refused


@dataclass(frozen=True, slots=True)
class Decision:
    """The events decided, and the refusal if the command was refused (after a lapse both are there).

    ``after`` is the state that the events make; None where the command was refused.
    """

    records: tuple[Recorded, ...]
    refused: Refused | None = None
    after: State | None = None


def decide(rules: Rules, state: State, command: cmd.Command, moment: Moment) -> Decision:
    """Decide a command. Raises nothing a caller must catch: a refusal comes back as a value."""
    draft = Draft(rules, state, moment)
    if lapsed(rules, state, moment):
        void(draft, "lapse")
        if isinstance(command, _ACTS):
            _keep(draft, command)
            says = "The gate has lapsed: it is asked again before work goes on. What you typed was kept."
            return Decision(tuple(draft.records), Refused("lapsed", says))
    settled = tuple(draft.records)
    try:
        _DECIDERS[type(command)](draft, command)
    except Refused as refusal:
        return Decision(settled, refusal)
    return Decision(tuple(draft.records), after=draft.state)


def restart(rules: Rules, state: State, moment: Moment) -> Decision:
    """What loading a journal always decides: no safety state outlives the program."""
    draft = Draft(rules, state, moment)
    if held(state, rules.flow):
        void(draft, "restart")
    return Decision(tuple(draft.records), after=draft.state)


def lapse(rules: Rules, state: State, moment: Moment, typed: str = "") -> Decision:
    """The end of every gate, if the moment shows that nobody was at the machine for too long; else nothing.

    What was ``typed`` for the step on screen is then kept as a draft.
    """
    draft = Draft(rules, state, moment)
    if lapsed(rules, state, moment):
        void(draft, "lapse")
        if state.run is not None and typed.strip():
            draft.emit(DraftKept(run=state.run.id, step=state.run.at, text=typed))
    return Decision(tuple(draft.records), after=draft.state)


def lapsed(rules: Rules, state: State, moment: Moment) -> bool:
    """True when a gate counts, and the clock went back or no key came for longer than the open step allows."""
    if not (moment.backwards or moment.idle > LAPSE_AFTER) or not held(state, rules.flow):
        return False
    run = state.run
    step = rules.flow.inspections[run.inspection].step(run.at) if run else None
    allowed = LAPSE_AFTER + (step.minutes * 60.0 if step else 0.0)
    return moment.backwards or moment.idle > allowed


_ACTS = (cmd.OnStep, cmd.Open, cmd.GoOn, cmd.Mend, cmd.Undo)


def _keep(draft: Draft, command: cmd.Command) -> None:
    text = getattr(command, "typed", "") or getattr(command, "reason", "") or getattr(command, "answer", "")
    if isinstance(command, cmd.OnStep) and text:
        draft.emit(DraftKept(run=command.run, step=command.step, text=text))


_DECIDERS: Mapping[type[cmd.Command], Callable[[Draft, Any], None]] = {
    cmd.SetFact: arrival.set_fact,
    cmd.SetComplaint: arrival.set_complaint,
    cmd.UseSheet: arrival.use_sheet,
    cmd.NamePerson: arrival.name_person,
    cmd.AddNote: arrival.add_note,
    cmd.AddPhoto: arrival.add_photo,
    cmd.Open: inspecting.open_inspection,
    cmd.GoOn: inspecting.go_on,
    cmd.Answer: inspecting.answer,
    cmd.TakeReading: inspecting.take_reading,
    cmd.TakeRecording: inspecting.take_recording,
    cmd.Judge: inspecting.judge,
    cmd.Unable: inspecting.unable,
    cmd.Leave: inspecting.leave,
    cmd.Skip: inspecting.skip,
    cmd.Undo: corrections.undo,
    cmd.Correct: corrections.correct,
    cmd.CorrectReading: corrections.correct_reading,
    cmd.Confirm: mending.confirm,
    cmd.Mend: mending.mend,
    cmd.Pause: closing.pause,
    cmd.StopWork: closing.stop_work,
    cmd.MakeSafe: closing.make_safe,
    cmd.RecordHandover: closing.record_handover,
    cmd.Close: closing.close,
    cmd.BeginVisit: closing.begin_visit,
}
