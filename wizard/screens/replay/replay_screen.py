"""A session gone through again on the screen, an event at a time, with all that was known at that moment."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.screen import Screen

from wizard.engine.queries.machine_view import Badge
from wizard.review.flags.flag import Flag
from wizard.review.flags.flag_rules import flags
from wizard.review.replay import ReplayFrame
from wizard.screens.layout import key_table
from wizard.screens.replay.frame_side import FrameSide
from wizard.screens.replay.frame_text import FrameText
from wizard.screens.replay.replay_cursor import ReplayCursor
from wizard.screens.replay.replay_key import ReplayKey
from wizard.screens.replay.replay_keys import ReplayKeys
from wizard.screens.replay.replay_lines import (
    done_lines,
    frame_lines,
    headline_parts,
    overview_lines,
    strip_of,
)
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.screens.replay.time_strip import TimeStrip
from wizard.screens.viewmodels.step.body_room import WIDE
from wizard.screens.widgets.faults.ranking_box import RankingBox
from wizard.screens.widgets.frame.headline import Headline
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine
from wizard.screens.widgets.frame.safety_box import SafetyBox


class ReplayScreen(Screen[None]):
    """Draws a session at the place of its cursor; what its keys do are ``ReplayKeys``."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *key_table.bindings("picture", "ahead", "behind", "first", "last", "play", "faster", "slower"),
        *key_table.bindings(
            "moment", "find", "open-photo", "event", "line", "visits", "flags", "remark", "remarks", "sign"
        ),
        *(Binding(str(n + 1), f"replay('stride', {n})", "by what", show=False) for n in range(9)),
        Binding("down,j,pagedown", "scroll(1)", "down", show=False),
        Binding("up,k,pageup", "scroll(-1)", "up", show=False),
    ]
    HERE: ClassVar[tuple[str, ...]] = (
        "ahead",
        "moment",
        "find",
        "play",
        "faster",
        "line",
        "visits",
        "flags",
    )
    EVERYWHERE: ClassVar[tuple[str, ...]] = (
        "help",
        "event",
        "remark",
        "remarks",
        "sign",
        "picture",
        "open-photo",
        "leave",
    )
    UNSHOWN: ClassVar[tuple[str, ...]] = ("scroll", "theme", "stride")
    ABOUT = (
        "Replay",
        "The session as it was, event by event: what was on the screen, what was typed, judged and ranked, how long "
        "it took. Left and Right go back and on by what the digits choose. 1 event, 2 answer, 3 inspection, 4 safety "
        "change, 5 value put right, 6 visit, 7 flag. m goes to the next fail, decision, repair, photo, note, long "
        "pause or refused attempt, / to words. Times are of the zone that the computer was in when the session began, "
        "where the record has it, else UTC. Nothing here changes the record; notes and sign-off lie beside it.",
    )
    AUTO_FOCUS = ""

    def __init__(self, session: ReviewedSession, place: int = 0) -> None:
        super().__init__()
        self.session, self.cursor = session, ReplayCursor(session.replay, place)
        self.keys = ReplayKeys(session, self.cursor, self.set_interval, self.ask, self.draw)
        self._side_alone = False

    def compose(self) -> ComposeResult:
        """Headline and safety box; words and, beside them, drawing and ranking; time line, message, keys."""
        with Horizontal(id="top"):
            yield Headline(id="headline")
            yield SafetyBox(id="safety")
        with Horizontal(id="replay-body"):
            yield FrameText()
            yield FrameSide()
        yield TimeStrip(id="strip")
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def on_mount(self) -> None:
        """Draw, then look for flags in a thread."""
        self.draw()
        self._look()

    def on_resize(self, _event: events.Resize) -> None:
        """Lay it out anew."""
        self.draw(self.says)

    @work(thread=True, exclusive=True, group="flags")
    def _look(self) -> None:
        self.app.call_from_thread(self._found, flags(self.session.replay, self.session.thresholds))

    def _found(self, found: tuple[Flag, ...]) -> None:
        self.cursor.flags = found
        self.draw(self.says)

    @property
    def says(self) -> str:
        """The sentence on the message line."""
        return self.query_one(MessageLine).says if self.is_mounted else ""

    def ask(self, screen: Screen[Any], then: Callable[[Any], None]) -> None:
        """Lay a question over the replay, which halts; ``then`` gets its answer unless it was left without one."""
        self.keys.playback.stoppage()
        self.draw()
        self.app.push_screen(screen, lambda answer: None if answer is None else then(answer))

    def draw(self, says: str = "") -> None:
        """Everything, for the place where one is, with a sentence on the message line."""
        if not self.is_mounted:
            return
        replay, cursor, frame = self.session.replay, self.cursor, self.cursor.frame
        running = self.keys.playback.speed if self.keys.playback.running else None
        self.query_one(Headline).show(*headline_parts(replay, frame, cursor.stride.says, running))
        self.query_one(SafetyBox).show(frame.badge if frame else Badge(()))
        beside = self._show_side(frame)
        width = max(30, self.size.width - 3 - (RankingBox.WIDTH + 3 if beside else 0))
        standing = done_lines(frame, width) if frame is not None else []
        self.query_one(FrameText).show(standing, self._lines(frame, width))
        marks = strip_of(replay, self.session.review, cursor.flags or (), cursor.place)
        self.query_one(TimeStrip).show(marks)
        self.query_one(MessageLine).say(says)
        here = [name for name in self.HERE if name != "faster" or running is not None]
        self.query_one(KeyBar).show(key_table.labels(here), key_table.labels(self.EVERYWHERE))

    def _lines(self, frame: ReplayFrame | None, width: int) -> list[Content]:
        session, found = self.session, self.cursor.flags
        if frame is None:
            return overview_lines(
                session.replay, session.name, found, session.review, session.chain, width, session.damage
            )
        here = [f for f in found or () if f.seq == frame.seq]
        return frame_lines(frame, here, session.review, width)

    def _show_side(self, frame: ReplayFrame | None) -> bool:
        """Drawing and ranking beside the words on a wide screen; in place of words and time line on a narrow one."""
        wide, side = self.size.width >= WIDE, self.query_one(FrameSide)
        self._side_alone = self._side_alone and not wide
        side.display = frame is not None and (wide or self._side_alone)
        self.set_class(self._side_alone and side.display, "-side-alone")
        if frame is not None and side.display:
            side.show(self.session.replay, frame, self.cursor.place)
        return side.display

    def action_replay(self, name: str, number: int = 0) -> None:
        """Do what a key of the replay is for; ``name`` is one of ``ReplayKey``."""
        self.keys.press(ReplayKey(name), number)

    def action_picture(self) -> None:
        """Drawing and ranking instead of the words on a narrow screen, or the words again."""
        self._side_alone = not self._side_alone
        self.draw()

    def action_scroll(self, by: int) -> None:
        """Move the words."""
        self.query_one(FrameText).move(by)
