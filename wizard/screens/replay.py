"""A session gone through again on the screen, an event at a time, with all that was known at that moment."""

from __future__ import annotations

from typing import ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.engine.ranking import Ranked
from wizard.review.flag import Flag
from wizard.review.flags import flags
from wizard.review.replay import Frame
from wizard.review.untrusted import attempt
from wizard.screens import keys, words
from wizard.screens.jobscreen import WIDE
from wizard.screens.replayasks import Asking
from wizard.screens.replaylines import frame_lines, overview_lines, place_words
from wizard.screens.widgets.drawing import DrawingBox
from wizard.screens.widgets.headline import Headline
from wizard.screens.widgets.keybar import KeyBar
from wizard.screens.widgets.message import MessageLine
from wizard.screens.widgets.more import More
from wizard.screens.widgets.safetybox import SafetyBox
from wizard.screens.widgets.standing import Standing, standing_lines
from wizard.screens.widgets.timestrip import Strip, TimeStrip

_NONE: tuple[Ranked, ...] = ()


class ReplayScreen(Asking):
    """One event at a time, with the state of that moment."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *keys.bindings("picture"),
        Binding("down,j,pagedown", "scroll(1)", "down", show=False),
        Binding("up,k,pageup", "scroll(-1)", "up", show=False),
    ]
    HERE = ("ahead", "scroll", "play", "faster", "line", "visits", "flags")
    EVERYWHERE = ("help", "event", "remark", "remarks", "sign", "picture", "theme", "leave")
    ABOUT = (
        "Replay",
        "The session as it was, event by event: what was on the screen, what was typed, judged and ranked, how long "
        "it took. Left and Right go back and on by what the digits choose. 1 event, 2 answer, 3 inspection, 4 safety "
        "change, 5 value put right, 6 visit, 7 flag. Nothing here changes the record; notes and sign-off lie beside "
        "it.",
    )
    AUTO_FOCUS = ""

    def __init__(self, place: int = 0) -> None:
        super().__init__(place)
        self._side_only = False

    def compose(self) -> ComposeResult:
        """Headline and safety box; words and, beside them, drawing and ranking; time line, message, keys."""
        with Horizontal(id="top"):
            yield Headline(id="headline")
            yield SafetyBox(id="safety")
        with Horizontal(id="replay-body"):
            with Vertical(id="replay-words"):
                with VerticalScroll(id="replay-scroll", can_focus=False):
                    yield Static(id="words")
                yield More("replay-scroll")
            with Vertical(id="side"):
                yield DrawingBox(id="drawing")
                yield Standing(id="standing")
        yield TimeStrip(id="strip")
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def here(self) -> tuple[str, ...]:
        """The keys of this screen: to read on while it stands, the speed while it runs."""
        return tuple(name for name in self.HERE if name != ("scroll" if self.running else "faster"))

    def everywhere(self) -> tuple[str, ...]:
        """The other keys."""
        return self.EVERYWHERE

    def on_mount(self) -> None:
        """Draw, then look for flags in a thread."""
        self.say()
        self.refresh_all()
        self._look()

    def on_resize(self, _event: events.Resize) -> None:
        """Lay it out anew."""
        self.refresh_all()

    @work(thread=True, exclusive=True, group="flags")
    def _look(self) -> None:
        found = flags(self.program.replay, self.program.thresholds)
        self.app.call_from_thread(self._found, found)

    def _found(self, found: tuple[Flag, ...]) -> None:
        self._flags = found
        self.refresh_all()

    # ---- drawing

    def refresh_all(self) -> None:
        """Everything, for the place where one is."""
        if not self.is_mounted:
            return
        replay = self.program.replay
        frame = replay.frame(self._place) if self._place else None
        self._headline(frame)
        self.query_one(SafetyBox).show(frame.after if frame else replay.state(0))
        self._side(frame)
        width = max(30, self.size.width - 3 - (41 if self.query_one("#side").display else 0))
        self.query_one("#words", Static).update(Content("\n").join(self._lines(frame, width)))
        self.query_one("#replay-scroll", VerticalScroll).scroll_home(animate=False)
        self._strip()
        self.query_one(KeyBar).show(keys.shown(self.here()), keys.shown(self.EVERYWHERE))

    def _lines(self, frame: Frame | None, width: int) -> list[Content]:
        program = self.program
        if frame is None:
            count = None if self._flags is None else len(self._flags)
            return overview_lines(
                program.replay, program.session, count, program.review, program.chain, width
            )
        here = [f for f in self._flags or () if f.seq == frame.seq]
        return frame_lines(program.replay, frame, here, program.review, width)

    def _headline(self, frame: Frame | None) -> None:
        count = len(self.program.replay)
        if frame is None:
            self.query_one(Headline).show(
                self.program.replay.flow.title, (f"before event 1 of {count}",), self.way
            )
            return
        at = words.local(frame.record.at)
        parts = (f"event {frame.seq} of {count}", f"{at:%H:%M:%S}" if at else "", place_words(frame.shown))
        self.query_one(Headline).show(frame.shown.title, parts, self.way)

    def _side(self, frame: Frame | None) -> None:
        """Drawing and ranking beside the words on a wide screen; in place of words and time line on a narrow one."""
        wide, side = self.size.width >= WIDE, self.query_one("#side")
        self._side_only = self._side_only and not wide
        side.display = frame is not None and (wide or self._side_only)
        self.set_class(self._side_only and side.display, "-side-alone")
        if frame is not None and side.display:
            self.query_one(DrawingBox).show(self.program.replay.flow, frame.shown.drawing)
            self.query_one(Standing).update("")
            self._rank(self._place)

    @work(thread=True, exclusive=True, group="standing")
    def _rank(self, place: int) -> None:
        rows, _unsound = attempt(lambda: self.program.replay.ranked(place), _NONE)
        if self.is_mounted:
            self.app.call_from_thread(self._ranked, place, rows)

    def _ranked(self, place: int, rows: tuple[Ranked, ...]) -> None:
        if place == self._place:
            lines = standing_lines(rows, Standing.WIDTH) if rows else [Content("Nothing is ranked yet.")]
            self.query_one(Standing).update(Content("\n").join(lines))

    def _strip(self) -> None:
        replay, program = self.program.replay, self.program
        marked = [(n.event, "*") for n in program.review.notes] + [(c.seq, "c") for c in replay.changes]
        marks: dict[int, str] = {}
        for seq, letter in (*marked, *((f.seq, "!") for f in self._flags or ())):
            marks[replay.place_of(seq)] = marks.get(replay.place_of(seq), "") + letter
        self.query_one(TimeStrip).show(Strip(replay.spans, replay.elapsed, marks, self._place))

    def action_picture(self) -> None:
        """Drawing and ranking instead of the words on a narrow screen, or the words again."""
        self._side_only = not self._side_only
        self.refresh_all()

    def action_scroll(self, by: int) -> None:
        """Move the words."""
        self.query_one("#replay-scroll", VerticalScroll).scroll_relative(y=3 * by, animate=False)
