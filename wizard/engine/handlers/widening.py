"""What nobody attended is known less of: lapses, breaks, restarts, new visits."""

from __future__ import annotations

from wizard.domain.vocabulary import JobAct, JobState, RefusalReason
from wizard.engine.handlers.transaction import Transaction, arrive, drop_asked, require_job, settle
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Paused, TakenOver, Widened
from wizard.engine.safety.flow_rules import GAP, LAPSE_AFTER, NIGHT
from wizard.errors import Refused
from wizard.flow.model.acts import step_needs
from wizard.safety import Belief, WideningReason


def widen(d: Transaction, why: WideningReason, belief: Belief) -> None:
    """Believe less of the machine from now on. What was being asked for another step is asked anew if still
    needed.
    """
    if changes := d.changes(belief):
        d.emit(Widened(why=why, belief=changes))


def anew(d: Transaction, known: Belief | None = None) -> Belief:
    """What is believed by one who knows nothing but the record: no energy and no cover, but a part that was confirmed
    as bad and not repaired is still bad. ``known``: what was believed before, if not what is now.
    """
    fitted = {r.fault for r in d.state.repairs if r.holds}
    bad = (d.flow.faults[f].so for f in d.state.decided or () if f in d.flow.faults and f not in fitted)
    by_condition = {condition: values for so in bad for condition, values in so.items()}
    return d.model.settle(
        {**d.model.anew(d.belief if known is None else known), **d.model.needs(by_condition)}
    )


def lapses(d: Transaction) -> WideningReason | None:
    """Why nobody is known to have attended the machine since the last key, or None."""
    moment, run = d.moment, d.state.run
    if d.state.job is not JobState.WORKING:
        return None
    if moment.backwards:
        return WideningReason.CLOCK
    if moment.gap > GAP:
        return WideningReason.SUSPENDED
    step = d.inspection(run).step(run.at) if run is not None else None
    allowed = LAPSE_AFTER + (step.minutes * 60.0 if step is not None else 0.0)
    return WideningReason.LAPSE if moment.idle > allowed else None


def lapse(d: Transaction) -> None:
    """Widen by what may have happened unattended, if the moment shows that nobody was there; else nothing."""
    why = lapses(d)
    if why is None:
        return
    long = max(d.moment.idle, d.moment.gap) > NIGHT
    left = anew(d) if long else d.model.away(d.belief)
    if not d.changes(left):
        return
    widen(d, why, left)
    resume_screen(d)


def resume_screen(d: Transaction) -> None:
    """Bring the step on screen back, behind whatever must be asked again first; the job map where that can't be
    had.
    """
    drop_asked(d)
    try:
        settle(d)
    except Refused:
        settle(d, answered=True)
    arrive(d)


def pass_on(d: Transaction, inspection: str = "") -> None:
    """Before other work is begun: what holds for the work that it was asked for is not known any more, where an
    inspection was done since that doesn't need it. ``inspection``: the one that is about to be opened.
    """
    passing = [c for c in d.flow.conditions.values() if c.passing]
    gone = [c.id for c in passing if _done_without(d, c.id, inspection)]
    if gone:
        widen(d, WideningReason.OTHER_WORK, d.model.forget(d.belief, gone))


def _done_without(d: Transaction, condition: str, inspection: str) -> bool:
    """Whether an inspection that doesn't need the condition, and isn't this one, was begun since it became known."""
    known = d.state.belief.get(condition)
    if known is None:
        return False
    since = (run for run in d.state.runs if not run.only and max(run.seq, run.resumed) > known.seq)
    return any(run.inspection != inspection and not _needs(d, run.inspection, condition) for run in since)


def _needs(d: Transaction, inspection: str, condition: str) -> bool:
    steps = d.flow.inspections[inspection].steps if inspection in d.flow.inspections else ()
    return any(condition in step_needs(d.flow, step) for step in steps)


def touch(_d: Transaction, _command: cmd.Touch) -> None:
    """A key, or a beat of the program's heart: nothing but the lapse that was looked for before."""


def pause(d: Transaction, _command: cmd.Pause) -> None:
    """A declared break: whatever may change unattended may have changed."""
    require_job(d, JobAct.WORK)
    d.emit(Paused())
    widen(d, WideningReason.PAUSE, d.model.away(d.belief))
    resume_screen(d)


def take_over(d: Transaction, command: cmd.TakeOver) -> None:
    """Another person goes on. They saw nothing of what the record says, so all of it is asked anew."""
    require_job(d, JobAct.WORK)
    name = command.name.strip()
    if not any(letter.isalpha() for letter in name):
        raise Refused(RefusalReason.READING, "Write who goes on: a name, with letters.")
    if d.state.visit is not None and name == d.state.visit.people[-1]:
        raise Refused(RefusalReason.LATE, f"{name} is at it already.")
    d.emit(TakenOver(name=name))
    widen(d, WideningReason.PERSON, anew(d))
    resume_screen(d)


def restart(d: Transaction, _command: cmd.Restart) -> None:
    """What loading a journal of a job under way always decides: nothing that is written there is believed."""
    if d.state.job is not JobState.WORKING:
        return
    widen(d, WideningReason.RESTART, anew(d))
    if d.records:
        resume_screen(d)
    arrive(d)
