"""May this be done, here, now? The answer is the events it brings about, or a refusal in plain words.

Nothing is changed here and nothing is written. A lapse is handled before the command that met it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from wizard.domain.vocabulary import RefusalReason
from wizard.engine.handlers import (
    cause_asking,
    corrections,
    inspection_work,
    intake,
    repair,
    visit_end,
    widening,
    withdrawal,
)
from wizard.engine.handlers.transaction import Moment, Transaction
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import DraftKept, Recorded
from wizard.engine.queries import machine_queries
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.errors import Refused


@dataclass(frozen=True, slots=True)
class CommandResult:
    """The events that it brings about, and the refusal if the command was refused (after a lapse both are there).

    ``after`` is the state that the events make; None where the command was refused.
    """

    records: tuple[Recorded, ...]
    refused: Refused | None = None
    after: State | None = None


def handle(view: JobView, command: cmd.Command, moment: Moment) -> CommandResult:
    """Handle a command. Raises nothing a caller must catch: a refusal comes back as a value."""
    transaction = Transaction(view, moment, command)
    if not isinstance(command, cmd.Begin | cmd.Restart):
        widening.lapse(transaction)
    settled = tuple(transaction.records)
    if settled and isinstance(command, _ACTS) and _asked_again(transaction, view.state):
        _keep(transaction, command, view.state)
        says = (
            "Nobody was seen here for a while: what may have changed is asked again. What was typed is kept."
        )
        return CommandResult(tuple(transaction.records), Refused(RefusalReason.LAPSED, says))
    try:
        _HANDLERS[type(command)](transaction, command)
    except Refused as refusal:
        return CommandResult(settled, refusal)
    return CommandResult(tuple(transaction.records), after=transaction.state)


def _asked_again(transaction: Transaction, before: State) -> bool:
    """True when the widening took the step on screen away from under the command."""
    run = before.run
    if run is None:
        return bool(before.goal) and transaction.state.shown != (0, before.goal)
    return transaction.state.stack != before.stack or bool(machine_queries.unmet(transaction.view, run.ref))


def overdue(view: JobView, moment: Moment) -> bool:
    """True when nobody is known to attend the machine any more, and less is known of it for that."""
    transaction = Transaction(view, moment, cmd.Touch())
    return widening.lapses(transaction) is not None and bool(
        transaction.changes(transaction.model.away(transaction.belief))
    )


_ACTS = (cmd.OnStep, cmd.RecordRepair, cmd.Undo, cmd.Touch)


def _keep(transaction: Transaction, command: cmd.Command, before: State) -> None:
    text = cmd.typed_text(command)
    run = before.run if isinstance(command, cmd.Touch) else None
    where = (
        (command.run, command.step) if isinstance(command, cmd.OnStep) else (run.id, run.at) if run else None
    )
    if where is not None and text.strip():
        transaction.emit(DraftKept(run=where[0], step=where[1], text=text))


_HANDLERS: Mapping[type[cmd.Command], Callable[[Transaction, Any], None]] = {
    cmd.Begin: intake.begin,
    cmd.Restart: widening.restart,
    cmd.Touch: widening.touch,
    cmd.SetFact: intake.set_fact,
    cmd.SetComplaint: intake.set_complaint,
    cmd.UseSheet: intake.use_sheet,
    cmd.AddNote: intake.add_note,
    cmd.AddPhoto: intake.add_photo,
    cmd.OpenInspection: inspection_work.open_inspection,
    cmd.GiveAnswer: inspection_work.answer,
    cmd.TakeReading: inspection_work.take_reading,
    cmd.TakeRecording: inspection_work.take_recording,
    cmd.TakeSpin: inspection_work.take_spin,
    cmd.Judge: inspection_work.judge,
    cmd.SayUnable: inspection_work.unable,
    cmd.Leave: inspection_work.leave,
    cmd.Skip: inspection_work.skip,
    cmd.Undo: corrections.undo,
    cmd.Correct: corrections.correct,
    cmd.CorrectReading: corrections.correct_reading,
    cmd.Confirm: repair.confirm,
    cmd.Prepare: repair.prepare,
    cmd.RecordRepair: repair.record_repair,
    cmd.Pause: widening.pause,
    cmd.TakeOver: widening.take_over,
    cmd.StopWork: visit_end.stop_work,
    cmd.WithdrawStop: withdrawal.withdraw_stop,
    cmd.MakeSafe: visit_end.make_safe,
    cmd.Release: visit_end.release,
    cmd.AskCause: cause_asking.ask_cause,
    cmd.RecordHandover: visit_end.record_handover,
    cmd.Close: visit_end.close,
    cmd.BeginVisit: visit_end.begin_visit,
}
