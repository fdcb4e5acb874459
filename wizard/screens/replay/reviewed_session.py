"""The session that a reviewer goes through: read once, never written; notes and sign-offs lie beside it."""

from __future__ import annotations

from wizard.engine.messages.events import PhotoTaken
from wizard.errors import SteadfootError, UsageError
from wizard.platform.system_viewer import show_file
from wizard.review.flags import thresholds
from wizard.review.flags.flag import Flag
from wizard.review.photo_file import photo_file
from wizard.review.replay import Replay, ReplayFrame
from wizard.sessions import judged_flags, sign_off
from wizard.sessions.review_desk import ReviewDesk
from wizard.sessions.reviews.review_rows import Ruling
from wizard.sessions.session_store import Store


class ReviewedSession:
    """A loaded session with its review. SteadfootError where it, or the shop's own thresholds, can't be read."""

    def __init__(self, store: Store, name: str) -> None:
        loaded = store.salvage(name)
        self.name, self.chain, self.damage = name, loaded.chain, loaded.damage
        self.replay = Replay(loaded.flow, loaded.records)
        self.thresholds = thresholds.load(store.root)
        self.reviewer = ""
        self._desk = ReviewDesk(store, name)
        self.review = sign_off.load(self._desk.folder)
        self.judged = judged_flags.standing(judged_flags.load(self._desk.folder))

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
        self.review = self._desk.note(self.reviewer, text, event)

    def sign(self, ruling: Ruling, text: str) -> None:
        """Sign the session off as it stands. SteadfootError where that can't be written."""
        self.review = self._desk.sign(self.reviewer, ruling, text, self.chain, len(self.replay))

    def judge(self, flag: Flag, fair: bool) -> None:
        """Keep whether a flag is fair. SteadfootError where it can't be written."""
        said = judged_flags.JudgedFlag(self.reviewer, self._desk.now, flag.rule, flag.seq, fair, flag.measure)
        self.judged = judged_flags.standing(judged_flags.judge(self._desk.folder, said))

    def show_photo(self, frame: ReplayFrame | None) -> str:
        """Have the photo of an event shown by the system; what there is to say of it."""
        event = frame.record.event if frame is not None else None
        if not isinstance(event, PhotoTaken):
            return "There is no photo at this event: m, then photo, goes to the next."
        try:
            path = photo_file(self._desk.folder, event)
        except SteadfootError as problem:
            return str(problem)
        return show_file(path) or f"{event.name} was handed to the system's viewer."

    @property
    def unsigned(self) -> str:
        """Why what was written last has no signature though there is a key; empty where nothing is wrong."""
        return self._desk.unsigned
