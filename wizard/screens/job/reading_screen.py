"""A step that is measured: one number at a time, what was read so far, the limits with the readings on them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Static

from wizard.domain.vocabulary import Aid
from wizard.screens.job import reading_aids
from wizard.screens.job.number_field import NumberField
from wizard.screens.layout import key_table
from wizard.screens.text.columns import packed, stack
from wizard.screens.text.shared_sentences import READING_FIRST, STAYS
from wizard.screens.text.step_text import step_lines
from wizard.screens.viewmodels.questions import SureReply, ask_sure
from wizard.screens.viewmodels.reading.step_readings import (
    StepReadings,
    further,
    words_after,
)
from wizard.screens.viewmodels.step.step_sight import SEEN
from wizard.screens.widgets.readings.entry_row import EntryRow
from wizard.screens.widgets.readings.readings_board import ReadingsBoard, ruled, table_lines, table_width


class ReadingScreen(NumberField):
    """Asks number after number; when all are there, shows the verdict, and Enter goes on."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("judge", "more", "no-more")
    ABOUT = (
        "A reading",
        "Type the number and press Enter. Another unit may be written after it, and fractions: 3/8 in, 1 1/2, 3,4. "
        "* opens a stopwatch, a counter or a picture where the step has one; = shows metric or US units; + takes "
        "one more reading once all are there. Limits have their source under the ruler. F4: some can't be read. "
        "What stands behind ± is the standard uncertainty, of the tool and of the repeats: in about two cases of three "
        "the true value is no further off than that, and in nineteen of twenty no further than twice that.",
    )

    def words_side(self) -> ComposeResult:
        """Words, field, table and ruler."""
        with Vertical(id="left"):
            yield from super().words_side()
            yield EntryRow()
            yield ReadingsBoard()

    def here(self) -> tuple[str, ...]:
        """Enter, undo, can't, drawing."""
        readings = self.readings
        asked, aid = readings.slot is not None, readings.step.aid
        opens = asked and aid is not None and aid not in SEEN
        more = ("no-more",) if readings.again else () if asked else ("more",)
        aids = ("aid",) if opens else ()
        return (
            "judge" if asked else "go",
            "undo",
            "unable",
            *more,
            *aids,
            *self.picture_keys(chart=not opens),
        )

    def project(self) -> None:
        """Lay out what is asked, what was read and the limits, in as many lines as there are."""
        readings, lines, view = self.readings, self.room.lines, self.controller.view
        system = readings.current.other_system(self.host.system)

        def words(width: int, _airy: bool) -> Sequence[Content]:
            return stack(*step_lines(view, width, system, self.controller.wait_left))

        below = 2 + (min(3, table_lines(readings)) if readings.records else 0)
        page = self.lay(words, lambda width: lines - below - ruled(readings, width), table_width(readings))
        ruler = ruled(readings, page.width)
        sentence = packed(page.layout.lines, lines - 2 - ruler)
        apart = int(
            len(sentence) + 2 + ruler <= lines
        )  # A line before the field, unless the source wants it.
        self.query_one("#words", Static).update(Content("\n").join([*sentence, *[Content("")] * apart]))
        entry, board = self.query_one(EntryRow), self.query_one(ReadingsBoard)
        entry.display = not self.sight.alone or bool(self.sight.lines)
        at, drafts = (readings.current.run.id, readings.step.id), self.controller.drafts
        entry.show(readings, lambda: drafts.use(view.state, *at))
        board.display = not self.sight.alone
        board.show(readings, page.width, lines - len(sentence) - 1 - apart)

    def on_key(self, event: events.Key) -> None:
        """A character may be typed before the field had the focus."""
        if not self.sight.alone:
            self.query_one(EntryRow).catch(event)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the number, after what there is to ask of it; what can't be read stays in the field."""
        readings, text = self.readings, event.value
        if readings.slot is None or not self.is_current or self.hurried():
            return
        if not text.strip():
            less = f" Or press Esc: {STAYS}" if readings.again else ""
            self.host.say(f"{READING_FIRST}{less}")
            return
        self.query_one(EntryRow).sent = text
        asked = readings.questions(text)
        if asked:
            self.host.put(ask_sure(" ".join(asked)), lambda sentence: self.send(readings, text, sentence))
        else:
            self.send(readings, text)

    def send(self, readings: StepReadings, text: str, sentence: str = SureReply.RIGHT) -> None:
        """Have the engine take it, unless it is to be typed again; then say what there is to say of it."""
        if sentence != SureReply.RIGHT:
            self.query_one(EntryRow).clear()
            return
        self.host.act(readings.take(text))
        if self.is_current and self.readings.slot == readings.slot:
            self.query_one(EntryRow).refused()
            self.host.guard.arm()
        if self.is_current and (words := words_after(readings, self.readings, text)):
            self.host.say(words)

    def action_more(self) -> None:
        """Ask for one more reading of what is least sure."""
        more = further(self.readings)
        if more is not None:
            self._more = more
            self.refresh_all()

    def action_no_more(self) -> None:
        """Not one more after all: the verdict stands as before."""
        if self.readings.again:
            self.query_one(EntryRow).clear()
            self._more = None
            self.refresh_all()

    def action_job(self, name: str) -> None:
        """Undo takes back what was asked last: the one more that was not read yet, else the last reading."""
        if name == key_table.UNDO and self.readings.again:
            self.action_no_more()
        else:
            super().action_job(name)

    def action_aid(self) -> None:
        """Open the stopwatch, the counter or the falling voltage; or change between chart and drawing."""
        readings = self.readings
        panel = reading_aids.aid_panel(self.host, readings) if readings.slot is not None else None
        if readings.slot is not None and readings.step.aid is Aid.RECORDING:
            reading_aids.open_recording(self.host, readings, readings.slot)
        elif panel is None:
            super().action_aid()
        else:
            self.host.ask(panel, self.query_one(EntryRow).put)

    def action_go(self) -> None:
        """Go on with the verdict."""
        if self.readings.slot is None and not self.hurried():
            self.host.act(self.readings.go_on())
