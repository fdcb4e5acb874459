"""A step that is measured: one number at a time, what was read so far, the limits with the readings on them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from wizard.domain.vocabulary import Aid
from wizard.engine.measuring import judging
from wizard.engine.measuring.judging import Judged, Slot
from wizard.engine.messages import commands as cmd
from wizard.engine.state.job_state import ReadingRecord
from wizard.flow.model import MeasureStep, Reading
from wizard.measure.quantities import units
from wizard.screens.dialogs import prompts
from wizard.screens.job import reading_aids
from wizard.screens.job.measured_base import AidedScreen
from wizard.screens.layout import key_table
from wizard.screens.text.charset import plain, sign
from wizard.screens.text.columns import packed, stack
from wizard.screens.text.step_text import step_lines
from wizard.screens.text.verdict_signs import STYLES, verdict_word
from wizard.screens.viewmodels import reading_questions
from wizard.screens.viewmodels.step.step_sight import SEEN
from wizard.screens.widgets.field import EntryField
from wizard.screens.widgets.readings_table import ReadingsTable, lines_of, width_of
from wizard.screens.widgets.ruler_box import WIDEST, Ruler, room_of, value_words


class ReadingScreen(AidedScreen):
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

    def __init__(self) -> None:
        super().__init__()
        self._sent = ""
        self._at: tuple[int, str, Slot] | None = None
        self._again: tuple[int, str, Slot] | None = None

    def words_side(self) -> ComposeResult:
        """Words, field, table and ruler."""
        with Vertical(id="left"):
            yield from super().words_side()
            with Horizontal(id="entry"):
                yield Static(id="slot")
                yield EntryField(id="field", keys="*=")
                yield Static(id="unit")
            yield ReadingsTable(id="repeats")
            yield Ruler(id="ruler")

    @property
    def reading(self) -> Reading:
        """What the step reads."""
        return self.measured.reading

    @property
    def measured(self) -> MeasureStep:
        """The step on screen."""
        step = self.current.step
        assert isinstance(step, MeasureStep)
        return step

    @property
    def taken(self) -> tuple[ReadingRecord, ...]:
        """What was read so far."""
        return self.controller.state.readings(self.current.run.id, self.current.step.id)

    @property
    def slot(self) -> Slot | None:
        """The number asked now, or None when all are there."""
        missing = judging.missing(self.reading, self.controller.state.facts, self.taken)
        if missing:
            return missing[0]
        run, step, slot = self._again or (0, "", None)
        there = {(t.item, t.way, t.repeat) for t in self.taken}
        wanted = slot is not None and (slot.item, slot.way, slot.repeat) not in there
        return slot if wanted and (run, step) == (self.current.run.id, self.current.step.id) else None

    @property
    def asked_again(self) -> bool:
        """True while one more reading is asked, though all were there."""
        return self.slot is not None and self.slot == (self._again or (0, "", None))[2]

    def here(self) -> tuple[str, ...]:
        """Enter, undo, can't, drawing."""
        aid = self.measured.aid
        opens = bool(aid and self.slot and aid not in SEEN)
        more = ("no-more",) if self.asked_again else () if self.slot else ("more",)
        return (
            "judge" if self.slot else "go",
            "undo",
            "unable",
            *more,
            *(("aid",) if opens else ()),
            *self.picture_keys(chart=not opens),
        )

    def project(self) -> None:
        """Lay out what is asked, what was read and the limits, in as many lines as there are."""
        taken = self.taken
        judged = self.judged
        limit = judging.limit_of(self.controller.view, self.current.step)
        lines = self.room.lines
        whole = lines_of(self.reading, self.controller.state.facts)
        below = 2 + (min(3, whole) if taken else 0)
        ghost = self.ghost

        def ruled(width: int) -> int:
            return room_of(limit, self.unit, width, bool(judged), ghost is not None)

        page = self.lay(self.words, lambda width: lines - below - ruled(width), self.narrowest)
        width = page.width
        said = packed(page.layout.lines, lines - 2 - ruled(width))
        self.query_one("#words", Static).update(Content("\n").join([*said, Content("")]))
        self.query_one("#entry").display = not self.sight.alone or bool(self.sight.lines)
        self.show_entry(judged)
        room = lines - len(said) - 2 - (ruled(width) or 1)
        table, ruler = self.query_one(ReadingsTable), self.query_one(Ruler)
        shown = reading_questions.as_shown(self.reading, self.unit, taken, self.slot)
        table.show(shown, self.controller.state.facts, taken, judged, self.slot, max(2, room), width)
        table.display = (
            room >= 2 and not self.sight.alone and len(judging.slots(shown, self.controller.state.facts)) > 1
        )
        spare = room > whole or not table.display
        ruler.styles.margin = (1 if spare else 0, 0, 0, 0)
        rows = min(whole, max(2, room)) if table.display else 0
        left = lines - len(said) - 2 - rows - (1 if spare else 0)
        ruler.show(limit, judged, self.unit, min(width, WIDEST), max(3, left), ghost)
        ruler.display = limit is not None and not self.sight.alone

    @property
    def ghost(self) -> Judged | None:
        """The earlier reading of what is asked, or of what decides, where the step is measured again."""
        facts = self.controller.state.facts
        asked = judging.slot_name(self.reading, facts, self.slot) if self.slot else None
        return self.current.earlier(asked, self.judged)

    @property
    def narrowest(self) -> int:
        """Columns of the whole table."""
        facts = self.controller.state.facts
        return width_of(self.reading, facts) if len(judging.slots(self.reading, facts)) > 1 else 0

    def words(self, width: int, _airy: bool) -> Sequence[Content]:
        """Warnings, what to do, what to expect."""
        wait = self.controller.wait_left
        return stack(
            *step_lines(self.controller.view, width, self.current.other_system(self.host.system), wait)
        )

    def show_entry(self, judged: Sequence[Judged]) -> None:
        """The field with what is asked before it; or, when all was read, the verdict and Enter."""
        slot, field = self.slot, self.query_one(EntryField)
        field.display = slot is not None
        self.query_one("#unit").display = slot is not None
        if slot is None:
            self.set_focus(None)
            self.query_one("#slot", Static).update(self.verdict())
            return
        symbol = units.find(self.unit).symbol
        self.query_one("#slot", Static).update(Content.styled(self.asked(slot), "bold"))
        self.query_one("#unit", Static).update("" if symbol in ("1", "count") else symbol)
        at = (self.current.run.id, self.current.step.id, slot)
        if at != self._at:
            self._at = at
            field.spend(self._sent, self.controller.use_draft(self.current.run.id, self.current.step.id))
        field.focus()

    def asked(self, slot: Slot) -> str:
        """'damper 2, out · 2 of 3'; the tool where the step has no places of its own."""
        name = judging.slot_name(self.reading, self.controller.state.facts, slot)
        turn = f"{slot.repeat + 1} of {self.reading.repeats}" if self.reading.repeats > 1 else ""
        turn = "one more" if slot.repeat >= self.reading.repeats else turn
        what = name or self.controller.flow.tools[self.reading.tool].says
        return f" {sign('·')} ".join(x for x in (what, turn) if x) + "  "

    def verdict(self) -> Content:
        """The verdict of all readings, before the Enter key that takes it; with it what no table or ruler shows."""
        outcome = judging.judge_readings(self.controller.view, self.measured, self.taken)
        word = verdict_word(outcome.verdict, sign("✓") == "+") or "All read"
        limit = judging.limit_of(self.controller.view, self.current.step)
        alone = len(judging.slots(self.reading, self.controller.state.facts)) == 1 and limit is None
        value = (
            value_words(outcome.items[0], self.unit).replace("±", "+-" if plain() else "±") if alone else ""
        )
        doubt = next((j.says for j in outcome.items if j.doubted), "")
        says = ", ".join(text for text in (word, value, doubt) if text)
        key = Content.styled(" Enter ", "bold $key on $key-ground")
        return key.append("  ").append(Content.styled(f"{says}: go on", f"bold {STYLES[outcome.answer]}"))

    @property
    def typed(self) -> str:
        """What stands in the field."""
        fields = self.query(EntryField)  # None yet, while the screen is being put together.
        return fields.first().value if fields and self.slot is not None else ""

    @property
    def takes_text(self) -> bool:
        """True while what is typed goes to the field, though it may not have the focus yet."""
        return self.slot is not None and not self.sight.alone

    def on_key(self, event: events.Key) -> None:
        """Put a character typed before the field had the focus into it, so that no half of a number is lost."""
        field = self.query_one(EntryField)
        if (
            event.is_printable
            and event.character
            and field.display
            and not field.has_focus
            and not self.sight.alone
        ):
            field.focus()
            field.take(event.character)
            event.stop()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the number; what can't be read stays in the field."""
        self.take(event.value)

    def take(self, text: str) -> None:
        """Ask the engine to take what was typed for the slot on screen."""
        slot = self.slot
        if slot is None or not self.is_current or self.hurried():
            return
        if not text.strip():
            less = " Or press Esc: it stays at what was read." if self.asked_again else ""
            self.host.say(f"Type the reading first.{less}")
            return
        self._sent = text
        tool = self.controller.flow.tools[self.reading.tool]
        asked = reading_questions.questions(self.reading, tool, self.taken, slot, text, self.unit)
        if asked:
            self.host.ask(prompts.ask_sure(" ".join(asked)), lambda said: self.send(text, slot, said))
        else:
            self.send(text, slot)

    def send(self, text: str, slot: Slot, said: str = "right") -> None:
        """Have the engine take it, unless it is to be typed again; then say what there is to say of it."""
        if said != "right":
            self.query_one(EntryField).value = ""
            return
        run, step, unit = self.current.run, self.current.step, self.unit
        other = unit if unit != self.reading.unit else ""
        self.host.act(cmd.TakeReading(run.id, step.id, text, slot.item, slot.way, slot.repeat, other))
        if not self.is_current or (self.current.run.id, self.current.step.id) != (run.id, step.id):
            return
        there = any((t.item, t.way, t.repeat) == (slot.item, slot.way, slot.repeat) for t in self.taken)
        words = [reading_questions.note(text, unit), self.one_more() if there and self.slot is None else ""]
        if there and any(words):
            self.host.say(". ".join(w.rstrip(".") for w in words if w) + ("." if words[1] else ""))

    def one_more(self) -> str:
        """What one more reading would change, once all are there."""
        tool, limit = (
            self.controller.flow.tools[self.reading.tool],
            judging.limit_of(self.controller.view, self.current.step),
        )
        return reading_questions.one_more(tool, limit, self.taken, self.judged)

    @property
    def judged(self) -> tuple[Judged, ...]:
        """What was read so far, judged."""
        taken = self.taken
        return judging.judge_readings(self.controller.view, self.measured, taken).items if taken else ()

    def action_more(self) -> None:
        """Ask for one more reading of what is least sure."""
        slot = reading_questions.again(self.reading, self.taken, self.judged) if self.slot is None else None
        if slot is not None:
            self._again = (self.current.run.id, self.current.step.id, slot)
            self.refresh_all()

    def action_no_more(self) -> None:
        """Not one more after all: the verdict stands as before."""
        if self.asked_again:
            self.query_one(EntryField).value = ""
            self._again = None
            self.refresh_all()

    def action_job(self, name: str) -> None:
        """Undo takes back what was asked last: the one more that was not read yet, else the last reading."""
        if name == "undo" and self.asked_again:
            self.action_no_more()
        else:
            super().action_job(name)

    def action_aid(self) -> None:
        """Open the stopwatch, the counter or the falling voltage; or change between picture and drawing."""
        if self.measured.aid is Aid.RECORDING and self.slot is not None:
            reading_aids.open_recording(self, self.slot)
            return
        panel = reading_aids.aid_panel(self) if self.slot is not None else None
        if panel is None:
            super().action_aid()
        else:
            self.host.ask(panel, self.put)

    def on_descendant_focus(self) -> None:
        """A field that is no longer shown isn't typed in: a focus that was asked for before may come late."""
        if not self.query_one(EntryField).display:
            self.set_focus(None)

    def put(self, text: str) -> None:
        """Put what an aid ended with into the field; Enter there takes it."""
        field = self.query_one(EntryField)
        field.value, field.cursor_position = text, len(text)
        field.focus()

    def action_go(self) -> None:
        """Go on with the verdict."""
        if self.slot is None and not self.hurried():
            self.host.act(cmd.Judge(self.current.run.id, self.current.step.id))
