"""The controller of a job: passes commands to the engine and turns what it refuses into what to ask or to say. No
widgets.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum, unique
from functools import partial
from pathlib import Path

from wizard.domain.vocabulary import RefusalReason
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as cmd
from wizard.engine.queries.hands_out import widening_now
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.errors import JournalFull, JournalLost, Refused, SteadfootError
from wizard.flow.model import Flow, MeasureStep
from wizard.screens.layout.drafts import Drafts
from wizard.screens.layout.kept_mark import KeptMark
from wizard.screens.layout.navigation import MapPlace, Scene, scene
from wizard.screens.text import labels
from wizard.screens.text.reason_choices import asked_for
from wizard.screens.text.taken_back import taken_back
from wizard.sessions.session_handle import Opened


@dataclass(frozen=True, slots=True)
class Done:
    """It was carried out."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """It was refused, and this is why: one sentence for the message line."""

    says: str


@unique
class Missing(StrEnum):
    """What a command lacked: a reason, that somebody is sure of a number out of its range, or room on the disk."""

    REASON = "reason"
    SURE = "sure"
    ROOM = "room"


@dataclass(frozen=True, slots=True)
class AskFirst:
    """Something is missing. ``then`` makes commands of what was answered.

    ``title`` names what the reason is asked for, ``offers`` are reasons to pick from.
    """

    kind: Missing
    says: str
    then: Callable[[str], tuple[Act, ...]]
    title: str = "Why?"
    offers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Attach:
    """Keep a photo: what the photo panel ends with, as other panels end with a command."""

    source: Path
    caption: str


@dataclass(frozen=True, slots=True)
class AttachRecording:
    """Keep a recording, if it is still the one that was read (``sha256``), and take the number that it gave."""

    source: Path
    sha256: str
    command: cmd.TakeRecording


@dataclass(frozen=True, slots=True)
class AttachSpin:
    """Keep a recorded spin, if it is still the one that was read (``sha256``), and take what it says."""

    source: Path
    sha256: str
    command: cmd.TakeSpin


Result = Done | Refusal | AskFirst
Act = cmd.Command | Attach | AttachRecording | AttachSpin
"""What a screen or a panel may ask to be carried out."""

STOPPED_AT_ONCE = "What was read stops work: the rest was not read."

_BACK_TO_MAP = (
    cmd.Confirm,
    cmd.RecordRepair,
    cmd.Close,
    cmd.StopWork,
    cmd.BeginVisit,
    cmd.Leave,
    cmd.SetFact,
)


class JobController:
    """One opened session and where the technician is in it. ``notice``: sentences shown until the next act;
    ``drafts``: what was typed and could not be taken; ``map_mark``: where the mark of the job map stands.
    """

    def __init__(self, opened: Opened) -> None:
        self.opened = opened
        self.place = MapPlace()
        self.notice: tuple[str, ...] = (
            *opened.recovered,
            *_asked_again(opened.session.state),
            *opened.copied(),
        )
        self.drafts, self.map_mark = Drafts(), KeptMark()
        self._half: Act | None = None

    @property
    def view(self) -> JobView:
        """How the job stands, with the rules of its flow."""
        return self.opened.session.view

    @property
    def state(self) -> State:
        """Where the job stands."""
        return self.opened.session.state

    @property
    def flow(self) -> Flow:
        """The flow of the job."""
        return self.opened.session.flow

    @property
    def wait_left(self) -> float:
        """Seconds until the step on screen may be answered; 0 where it waits for nothing."""
        return self.opened.session.wait_left()

    @property
    def scene(self) -> Scene:
        """What to show now."""
        return scene(self.view, self.place)

    def act(self, *acts: Act) -> Result:
        """Carry acts out one after the other, as far as none is refused. JournalLost goes up: nothing may follow
        it.
        """
        try:
            self.opened.session.finish()
        except JournalFull as full:
            return AskFirst(Missing.ROOM, str(full), lambda _text: acts)
        self.notice = ()
        acts = (*self._finished(), *acts)
        for number, act in enumerate(acts):
            result = self._one(act)
            if isinstance(result, AskFirst) and result.kind is Missing.ROOM:
                return replace(result, then=partial(self._again, (*result.then(""), *acts[number + 1 :])))
            if not isinstance(result, Done):
                return result
        return Done()

    def _again(self, acts: tuple[Act, ...], _text: str) -> tuple[Act, ...]:
        """What is to be tried again: not the first of these where a part of it was written, which is finished then."""
        return acts[1:] if self.opened.session.due else acts

    def _finished(self) -> tuple[Act, ...]:
        """What follows of an act of which a full disk had kept a part back, once that is written."""
        half, self._half = self._half, None
        if not isinstance(half, cmd.Command):
            return ()
        self._settled(half)
        judge = _judged_at_once(self.view, half)
        return (judge,) if judge is not None else ()

    def _one(self, act: Act) -> Result:
        try:
            if isinstance(act, Attach):
                self.opened.attach(act.source, act.caption)
                return Done()
            if isinstance(act, AttachRecording):
                act = self.opened.keep_recording(act.source, act.sha256, act.command)
            if isinstance(act, AttachSpin):
                act = self.opened.keep_spin(act.source, act.sha256, act.command)
            before = self.view
            self.opened.session.do(act)
        except Refused as refusal:
            result = self._refused(act, refusal)
            if isinstance(act, cmd.TakeSpin | cmd.TakeRecording) and isinstance(result, Refusal):
                self.opened.let_go(act.name)
            return result
        except JournalFull as full:
            left, self._half = act, act if self.opened.session.due else None
            return AskFirst(Missing.ROOM, str(full), lambda _text: (left,))
        except JournalLost:
            raise
        except SteadfootError as problem:
            return Refusal(str(problem))
        self._settled(act)
        if isinstance(act, cmd.Undo):
            self.notice = tuple(filter(None, (taken_back(before, self.view),)))
        self.notice = (*self.notice, *self.opened.copied())
        judge = _judged_at_once(self.view, act)
        return self._one(judge) if judge else Done()

    def _settled(self, act: cmd.Command) -> None:
        if isinstance(act, _BACK_TO_MAP):
            self.place = MapPlace()
        if isinstance(act, cmd.OnStep):
            self.drafts.settle(act.run, act.step)
        if isinstance(act, cmd.Pause):
            self.notice = (_asked_anew("The break is noted.", self.state),)
        if isinstance(act, cmd.TakeOver):
            self.notice = (_asked_anew(f"{act.name.strip()} goes on.", self.state),)
        if isinstance(act, cmd.SetFact):
            fact = self.flow.fact(act.fact)
            value = fact.value(act.value) if fact else None
            self.notice = (value.note,) if value and value.note else ()

    def _refused(self, act: Act, refusal: Refused) -> Result:
        says, reason = str(refusal), refusal.reason
        if isinstance(act, Attach | AttachRecording):
            return Refusal(says)
        if isinstance(act, cmd.Reasoned) and reason in (RefusalReason.REASON, RefusalReason.CONFIRM):
            reasoned, (title, offers) = act, asked_for(self.view, act)
            return AskFirst(
                Missing.REASON, says, lambda text: (replace(reasoned, reason=text),), title, offers
            )
        if isinstance(act, cmd.Ranged) and reason is RefusalReason.RANGE:
            ranged = act
            return AskFirst(Missing.SURE, says, lambda _text: (replace(ranged, sure=True),))
        if isinstance(act, cmd.OnStep) and reason in (RefusalReason.NEEDS, RefusalReason.LATE):
            self.drafts.keep(act.run, act.step, cmd.typed_text(act))
        return Refusal(says)

    def touch(self, typed: str = "") -> bool:
        """A key was pressed, with this text in a field. True when that made less known, and why is on the notice."""
        if self.beat(typed):
            return True
        lapsed = self.opened.session.touch(typed)
        if lapsed:
            self.notice = _asked_again(self.state)
        return lapsed

    def beat(self, typed: str = "") -> bool:
        """The program runs. True when it had not for so long that less is known: then the text in a field is kept."""
        before = self.state.seq
        self.opened.session.beat(typed)
        if self.state.seq == before:
            return False
        self.notice = _asked_again(self.state)
        return True

    def close(self) -> None:
        """Let the session go."""
        self.opened.close()


def _judged_at_once(view: JobView, act: cmd.Command) -> cmd.Judge | None:
    """What judges a reading that stops work, at once; None after anything else."""
    state = view.state
    run = state.run
    if not isinstance(act, cmd.TakeReading | cmd.TakeRecording) or run is None or run.id != act.run:
        return None
    step = view.flow.inspections[run.inspection].step(run.at)
    taken = state.readings(run.id, run.at)
    if not isinstance(step, MeasureStep) or not judging.stops_work(view, step, taken):
        return None
    whole = not judging.missing(step.reading, state.facts, taken)
    return cmd.Judge(run.id, step.id, "" if whole else STOPPED_AT_ONCE)


def _asked_again(state: State) -> tuple[str, ...]:
    """Why less is known than before, as long as nothing was answered since; none where nothing is."""
    words = labels.widened(state)
    return (_asked_anew(words, state),) if words else ()


def _asked_anew(words: str, state: State) -> str:
    """What follows from less being known, behind the reason for it."""
    hands = "Hands out of the machine. " if widening_now(state) is not None else ""
    return f"{words} {hands}What may have changed is asked again where it is needed."
