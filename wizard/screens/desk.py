"""A job on the desk: passes commands to the engine and turns what it refuses into what to ask or to say. No widgets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from pathlib import Path

from wizard.engine import commands as cmd
from wizard.engine import derive
from wizard.engine.opened import Opened
from wizard.engine.safety import route
from wizard.engine.state import State
from wizard.errors import JournalLost, Refused, SteadfootError
from wizard.flow.model import Flow, Inspection
from wizard.screens import words
from wizard.screens.scene import Place, Scene, scene


@dataclass(frozen=True, slots=True)
class Done:
    """It was carried out."""


@dataclass(frozen=True, slots=True)
class Said:
    """It was refused, and this is why: one sentence for the message line."""

    says: str


@dataclass(frozen=True, slots=True)
class Ask:
    """Something is missing: ``kind`` is person, reason or sure. ``then`` makes commands of what was answered."""

    kind: str
    says: str
    then: Callable[[str], tuple[cmd.Command, ...]]


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


Result = Done | Said | Ask
Act = cmd.Command | Attach | AttachRecording
"""What a screen or a panel may ask to be carried out."""

_BACK_TO_MAP = (cmd.Confirm, cmd.Mend, cmd.Close, cmd.StopWork, cmd.BeginVisit, cmd.Leave, cmd.SetFact)


class Desk:
    """One opened session and where the technician is in it. ``notice``: sentences shown until the next act."""

    def __init__(self, opened: Opened) -> None:
        self.opened = opened
        self.place = Place()
        self.notice: tuple[str, ...] = (*opened.mended, *_ended(opened.session.state))
        self._kept: dict[tuple[int, str], str] = {}
        self._used: set[tuple[int, str, str]] = set()

    @property
    def state(self) -> State:
        """Where the job stands."""
        return self.opened.session.state

    @property
    def flow(self) -> Flow:
        """The flow of the job."""
        return self.opened.session.flow

    @property
    def scene(self) -> Scene:
        """What to show now."""
        return scene(self.flow, self.state, self.place)

    def act(self, *acts: Act) -> Result:
        """Carry acts out one after the other, as far as none is refused. JournalLost goes up: nothing may follow it."""
        for act in acts:
            result = self._one(act)
            if not isinstance(result, Done):
                return result
        return Done()

    def _one(self, act: Act) -> Result:
        self.notice = ()
        try:
            if isinstance(act, Attach):
                self.opened.attach(act.source, act.caption)
                return Done()
            if isinstance(act, AttachRecording):
                act = self.opened.keep_recording(act.source, act.sha256, act.command)
            self.opened.session.do(act)
        except Refused as refusal:
            return self._refused(act, refusal)
        except JournalLost:
            raise
        except SteadfootError as problem:
            return Said(str(problem))
        self._settled(act)
        return Done()

    def _settled(self, act: cmd.Command) -> None:
        if isinstance(act, _BACK_TO_MAP):
            self.place = Place()
        if isinstance(act, cmd.OnStep):
            self._kept.pop((act.run, act.step), None)
        if isinstance(act, cmd.SetFact):
            fact = self.flow.fact(act.fact)
            value = fact.value(act.value) if fact else None
            self.notice = (value.note,) if value and value.note else ()

    def _refused(self, act: Act, refusal: Refused) -> Result:
        says, reason = str(refusal), refusal.reason
        if isinstance(act, Attach | AttachRecording):
            return Said(says)
        known = {spec.name for spec in fields(act)}
        if reason == "person":
            return Ask("person", says, lambda name: (cmd.NamePerson(name), act))
        if reason in ("reason", "confirm") and "reason" in known:
            return Ask("reason", says, lambda text: (replace(act, reason=text),))  # type: ignore[call-arg]
        if reason == "range" and "sure" in known:
            return Ask("sure", says, lambda _text: (replace(act, sure=True),))  # type: ignore[call-arg]
        if isinstance(act, cmd.OnStep) and reason in ("gate", "late"):
            self.keep(act.run, act.step, getattr(act, "typed", "") or getattr(act, "reason", ""))
        return Said(says)

    def touch(self, typed: str = "") -> bool:
        """A key was pressed, with this text in a field. True when the gate turned out to have lapsed."""
        return self.opened.session.touch(typed)

    def keep(self, run: int, step: str, text: str) -> None:
        """Keep what was typed for a step that could not take it."""
        if text.strip():
            self._kept[run, step] = text

    def draft(self, run: int, step: str) -> str:
        """What was typed for this step before its gate ended, or empty."""
        text = self._kept.get((run, step)) or self.state.drafts.get(f"{run}/{step}", "")
        return "" if (run, step, text) in self._used else text

    def use_draft(self, run: int, step: str) -> str:
        """That text, once: from then on it is in the field."""
        text = self.draft(run, step)
        self._used.add((run, step, text))
        self._kept.pop((run, step), None)
        return text

    def way_to(self, states: tuple[str, ...]) -> str:
        """The inspection to open so that work in one of these safety states becomes possible; empty when it is now."""
        place = Inspection("", "", (), states=states)
        moves = route(self.flow, self.state.facts, derive.stance(self.state), place) or ()
        return next((move.gate for move in moves if move.gate), "")

    def close(self) -> None:
        """Let the session go."""
        self.opened.close()


def _ended(state: State) -> tuple[str, ...]:
    """What is said on resuming: the safety state that was last known, and that it no longer counts."""
    if not state.gates or state.gates[-1].why != "restart":
        return ()
    return (f"{words.known(state)} no longer counts: the program was started again. It is asked again.",)
