"""Taking back a stop that came of a slip: a wrong key, a number misread. Both stay in the record.

It makes nothing safe. What the stop latched is no longer believed and what led to it no longer counts; but nothing that
was known of the machine is taken for granted either, as after a restart: all of it is asked anew where it is needed,
the question that was answered wrongly too.
"""

from __future__ import annotations

from wizard.domain.vocabulary import JobAct, JobState, RefusalReason, RunStatus
from wizard.engine.handlers.intake import forget_fact
from wizard.engine.handlers.transaction import Transaction, arrive, enter, require_job, settle
from wizard.engine.handlers.widening import anew
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import StopWithdrawn
from wizard.engine.queries import stopped
from wizard.engine.state.job_state import AnswerRecord, Stoppage
from wizard.errors import Refused
from wizard.safety import Belief


def withdraw_stop(d: Transaction, command: cmd.WithdrawStop) -> None:
    """Take back the last stop of this visit, with what led to it.

    Refused without words that say why; once one of its lines was dealt with; and where nobody stopped it now, but it
    stands from an earlier visit: then it is no slip of a key but a stop that stood, and what it latched falls by its
    release alone.
    """
    require_job(d, JobAct.WITHDRAW)
    if not any(letter.isalpha() for letter in command.reason):
        raise Refused(RefusalReason.REASON, "Say what was pressed or read by mistake, and what is so.")
    stoppage = d.state.stops[-1]
    if stopped.was_acted_on(stoppage):
        raise Refused(RefusalReason.LATE, stopped.ACTED_ON)
    if stoppage.standing:
        raise Refused(RefusalReason.LATE, STOOD)
    given = next((g for g in d.state.answer_records if g.seq == stoppage.entry and not g.aside), None)
    if stoppage.fact in d.state.facts:
        forget_fact(
            d, stoppage.fact, command.reason.strip()
        )  # First: should the program end here, work stays stopped.
    d.emit(
        StopWithdrawn(
            stopped=stoppage.seq,
            stop=stoppage.stop,
            reason=command.reason.strip(),
            belief=d.changes(anew(d, _unlatched(d, stoppage, given))),
            aside=_entries(d, given),
        )
    )
    if given is not None:
        _ask_again(d, given)
    arrive(d)


STOOD = "It stands from an earlier visit, and nobody stopped it now: it is no slip."


def _unlatched(d: Transaction, stoppage: Stoppage, given: AnswerRecord | None) -> Belief:
    """What is believed without the latches of this stop that no other one holds, and without the answer."""
    others = [h for h in d.state.stoppages if h is not stoppage and not h.slip]
    held = {
        c for h in others for c in stopped.latches(d.view, h) if not stopped.released_since(d.state, c, h)
    }
    belief = d.belief
    for name in stopped.latches(d.view, stoppage):
        if name not in held:
            belief = d.model.release(belief, name)
    if given is None or given.ref not in d.model.acts:
        return belief
    return d.model.forget(belief, d.model.touches(given.ref))


def _entries(d: Transaction, given: AnswerRecord | None) -> tuple[int, ...]:
    """The answer that led to the stop and, where it was a number, the reading typed last: an earlier one is undone
    as ever.
    """
    if given is None:
        return ()
    readings = [r.seq for r in d.state.readings(given.run, given.step)]
    return (given.seq, *([max(readings)] if readings else []))


def _ask_again(d: Transaction, given: AnswerRecord) -> None:
    """Bring its step back, behind whatever it needs; not while another stop stands, nor what was asked for another
    step: that is asked where it is needed.
    """
    run = d.state.find_run(given.run)
    if run is None or run.how is RunStatus.VOID or d.state.job is not JobState.WORKING:
        return
    enter(d, d.inspection(run), given.step, run.phase, run=run.id)
    settle(d, answered=True)
