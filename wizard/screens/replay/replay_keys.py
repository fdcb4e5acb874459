"""What the keys of a replay do: go on and back, let it run, pick from a list, write beside the record."""

from __future__ import annotations

from collections.abc import Callable

from textual.timer import Timer

from wizard.screens.dialogs import prompts
from wizard.screens.layout import key_table
from wizard.screens.replay import replay_lists
from wizard.screens.replay.flags_panel import FlagsPanel
from wizard.screens.replay.playback import Playback
from wizard.screens.replay.replay_cursor import STRIDES, ReplayCursor
from wizard.screens.replay.replay_key import ReplayKey
from wizard.screens.replay.review_prompts import Question, ReviewPrompts
from wizard.screens.replay.reviewed_session import ReviewedSession


class ReplayKeys:
    """Moves a cursor through a session. ``ask`` lays a question over the screen; ``draw`` draws the place, and says a
    sentence; ``every`` begins a timer (seconds, what to call).
    """

    def __init__(
        self,
        session: ReviewedSession,
        cursor: ReplayCursor,
        every: Callable[[float, Callable[[], None]], Timer],
        ask: Question,
        draw: Callable[[str], None],
    ) -> None:
        self._session, self._cursor, self._ask, self._draw = session, cursor, ask, draw
        self.playback = Playback(every, self.tick)
        self._prompts = ReviewPrompts(session, ask, draw)

    def press(self, key: ReplayKey, number: int = 0) -> None:
        """Do what a key is for; ``number`` says which way, or which stride."""
        match key:
            case ReplayKey.MOVE:
                self._move(number > 0)
            case ReplayKey.STRIDE:
                chosen = self._cursor.choose(number)
                wrong = key_table.wrong_digit(number + 1, [f"digits:{len(STRIDES)}"])
                self._draw("" if chosen else wrong)
            case ReplayKey.END:
                self.playback.stoppage()
                self.go(len(self._session.replay) if number else 0)
            case ReplayKey.PLAY:
                self._play()
            case ReplayKey.SPEED:
                self.playback.faster(number)
                self._draw("")
            case ReplayKey.EVENT:
                self._ask_event()
            case ReplayKey.REMARK:
                self._prompts.note(self._cursor.frame)
            case ReplayKey.SIGN:
                self._prompts.sign()
            case ReplayKey.FLAGS:
                flags = self._cursor.flags or ()
                self._ask(FlagsPanel(self._session, flags, self._cursor.place, self._prompts.judge), self.go)
            case _:
                self._list(key)

    def go(self, place: int) -> None:
        """Go to a place, clipped to those there are."""
        self._cursor.go(place)
        self._draw("")

    def tick(self) -> None:
        """One stride on; at the end it halts by itself."""
        if not self._cursor.move(forward=True):
            self.playback.stoppage()
        self._draw("")

    def _move(self, forward: bool) -> None:
        """On, or back, by what the digits chose."""
        self.playback.stoppage()
        moved = self._cursor.move(forward)
        end = f"There is no {'further' if forward else 'earlier'} {self._cursor.stride.says}."
        self._draw("" if moved else end)

    def _play(self) -> None:
        """Let it run, or halt it."""
        if self.playback.running:
            self.playback.stoppage()
        else:
            self.playback.run()
        self._draw("")

    def _list(self, name: ReplayKey) -> None:
        """A list of the session, to go to a place by."""
        title, entries = replay_lists.listing(name, self._session)
        self._ask(replay_lists.ListPanel(title, entries, self._cursor.place), self.go)

    def _ask_event(self) -> None:
        """To the event with a number."""
        replay = self._session.replay
        last = replay.end.seq

        def to_event(text: str) -> None:
            if text.isascii() and text.isdecimal() and int(text) <= last:
                self.go(replay.place_of(int(text)))
            else:
                self._draw(f"{text} is no event of this session.")

        says = f"Its number, 1 to {last}. 0 is before the first."
        self._ask(prompts.AskText("Which event?", says), to_event)
