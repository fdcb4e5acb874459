"""The session that a reviewer goes through: read once, never written; notes and sign-offs lie beside it."""

from __future__ import annotations

from wizard.errors import UsageError
from wizard.review.flags import thresholds
from wizard.review.flags.flag import Flag
from wizard.review.replay import Replay
from wizard.sessions import judged_flags, sign_off
from wizard.sessions.session_store import Store


class ReviewedSession:
    """A loaded session with its review. SteadfootError where it, or the shop's own thresholds, can't be read."""

    def __init__(self, store: Store, name: str) -> None:
        loaded = store.load(name)
        self.name, self.chain = name, loaded.chain
        self.replay = Replay(loaded.flow, loaded.records)
        self.thresholds = thresholds.load(store.root)
        self.reviewer = ""
        self._clock, self._folder = store.clock, store.home.session_folder(name)
        self.review = sign_off.load(self._folder)
        self.judged = judged_flags.standing(judged_flags.load(self._folder))

    def place_of(self, event: int) -> int:
        """The place of the event with this number; UsageError where there is none."""
        last = self.replay.end.seq
        if event > last:
            raise UsageError(
                f"Session {self.name} has {last} events, so there is none with the number {event}."
            )
        return self.replay.place_of(event)

    def note(self, text: str, event: int) -> None:
        """Keep a note at an event, 0 for the whole. SteadfootError where it can't be written."""
        note = sign_off.ReviewNote(self.reviewer, self._now, text, event)
        self.review = sign_off.add_note(self._folder, note)

    def sign(self, text: str) -> None:
        """Sign the session off as it stands. SteadfootError where that can't be written."""
        signed = sign_off.SignOff(self.reviewer, self._now, self.chain, len(self.replay), text)
        self.review = sign_off.sign(self._folder, signed)

    def judge(self, flag: Flag, fair: bool) -> None:
        """Keep whether a flag is fair. SteadfootError where it can't be written."""
        said = judged_flags.JudgedFlag(self.reviewer, self._now, flag.rule, flag.seq, fair, flag.measure)
        self.judged = judged_flags.standing(judged_flags.judge(self._folder, said))

    @property
    def _now(self) -> str:
        """The present moment as reviews write it."""
        return self._clock.wall().isoformat(timespec="seconds").replace("+00:00", "Z")
