"""What the keys of a replay do: go on and back, let it run, pick from a list, write beside the record."""

from __future__ import annotations

from collections.abc import Callable

from textual.timer import Timer

from wizard.review.durations import clock
from wizard.review.event_search import events_with
from wizard.review.jumps import Jump, longest_pause, pause_before
from wizard.screens.dialogs import prompts
from wizard.screens.layout import key_table
from wizard.screens.replay import replay_lists
from wizard.screens.replay.flags_panel import FlagsPanel
from wizard.screens.replay.playback import Playback
from wizard.screens.replay.replay_cursor import MOMENTS, STRIDES, ReplayCursor
from wizard.screens.replay.replay_key import ReplayKey
from wizard.screens.replay.review_prompts import Question, ReviewPrompts
from wizard.screens.replay.reviewed_session import ReviewedSession

_FIND = "Words or parts of them, all in one event: what was done, typed, put right, or where. Enter goes to the next."


def moment_entries(cursor: ReplayCursor) -> list[replay_lists.ListEntry]:
    """What can be gone to, with how many there are of each."""
    return [
        replay_lists.ListEntry(
            f"{stride.says:<18} {len(cursor.places(stride)):>5}", n, _MORE.get(stride.jump, "")
        )
        for n, stride in enumerate((*MOMENTS, *STRIDES))
    ]


_MORE: dict[Jump | None, str] = {
    Jump.PAUSE: "To the longest pause first. Left and Right then go by all of five minutes and more; where none is "
    "that long, there is that one alone.",
    Jump.REFUSED: "What was tried after nobody had been seen for long, and was refused. Any other refusal writes "
    "nothing, so the record has none of it.",
    Jump.NOTE: "The technician's. What reviewers wrote is a list of its own (r).",
}


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
            case ReplayKey.MOMENT:
                self._ask(
                    replay_lists.ListPanel("Go to the next", moment_entries(self._cursor)), self._moment
                )
            case ReplayKey.FIND:
                self._ask(prompts.AskText("Find in the time line", _FIND), self._find)
            case ReplayKey.OPEN_PHOTO:
                self._draw(self._session.show_photo(self._cursor.frame))
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

    def _moment(self, number: int) -> None:
        """Go by what was picked, and to the next of it: of pauses to the longest; behind the last one to the first."""
        stride = (*MOMENTS, *STRIDES)[number]
        self._cursor.stride = stride
        places = self._cursor.places(stride)
        if not places:
            self._draw(f"There is no {stride.says} in this session.")
            return
        ahead = [place for place in places if place > self._cursor.place]
        there = (ahead or places)[0]
        if stride.jump is Jump.PAUSE:
            there = longest_pause(self._session.replay.records)
        self._cursor.go(there)
        pause = pause_before(self._session.replay.records, there)
        after = f"The longest pause, {clock(pause)}, came before this." if stride.jump is Jump.PAUSE else ""
        from_start = f"There is no further {stride.says}: this is the first."
        self._draw(after or ("" if ahead else from_start))

    def _find(self, words: str) -> None:
        """To the next event with these words, or from the first on; Left and Right then go by them."""
        found = events_with(self._session.replay, words)
        if not found:
            self._draw(f"No event has '{words}'.")
            return
        self._cursor.search(words, found)
        there = next((place for place in found if place > self._cursor.place), found[0])
        self._cursor.go(there)
        count = f"{found.index(there) + 1} of {len(found)}"
        self._draw(f"{count} with '{words}'. Left and Right go to the others.")

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
