"""A step that is measured: one number at a time, with its unit and limits; once all are there, the verdict."""

from __future__ import annotations

from wizard.documents.text import limit_text
from wizard.domain.vocabulary import Aid
from wizard.engine.measuring.judging import Slot
from wizard.lines.scenes.line_scene import Own
from wizard.lines.scenes.step_scene import StepLines
from wizard.lines.terminal.line_commands import LineWord, command_of
from wizard.lines.terminal.line_host import LineHost
from wizard.measure.quantities import units, written_units
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.text.shared_sentences import READING_FIRST, STAYS
from wizard.screens.viewmodels.questions import SureReply, ask_sure
from wizard.screens.viewmodels.reading.reading_words import (
    judged_words,
    sign_words,
    source_words,
    verdict_text,
)
from wizard.screens.viewmodels.reading.step_readings import (
    FurtherReading,
    StepReadings,
    further,
    step_readings,
    words_after,
)
from wizard.screens.viewmodels.step.step_sight import SEEN

PICTURE_ALONE = (
    "What helps here is a picture, which is left out by lines: its numbers are enough. Type the reading."
)


class ReadingLines(StepLines):
    """Asks number after number; when all are there, says the verdict, and Enter goes on."""

    ABOUT = (
        "Type the number and press Enter. Another unit may be written after it, and fractions: 3/8 in, 1 1/2, 3,4. "
        "What stands behind +- is the standard uncertainty, of the tool and of the repeats."
    )
    numbers = True

    def __init__(self, host: LineHost) -> None:
        super().__init__(host)
        self._more: FurtherReading | None = None
        self._offered = ""
        self._shown: tuple[int, str] = (0, "")

    @property
    def readings(self) -> StepReadings:
        """What was read of the step, and what is asked now."""
        return step_readings(self.current, self.host.system, self._more)

    @property
    def own(self) -> Own:
        """One more, the aid, other units."""
        readings, own = self.readings, {**super().own}
        if readings.slot is None:
            own[LineWord.MORE] = self._one_more
        elif readings.step.aid is not None and readings.step.aid not in SEEN:
            own[LineWord.AID] = self._aid
        if self.current.convertible:
            own[LineWord.UNITS] = self._units
        if readings.again:
            own[LineWord.UNDO] = self._no_more
        return own

    @property
    def prompt(self) -> str:
        """Which number, in which unit; or the verdict."""
        readings = self.readings
        if readings.slot is None:
            return f"{verdict_text(readings, signs=False).capitalize()}. Enter goes on, + takes one more"
        symbol = units.find(readings.unit).symbol
        unit = "" if written_units.unwritten(symbol) else f"in {symbol}"
        asks = readings.asks.replace(" · ", ", ").replace(" - ", ", ")
        return ", ".join(text for text in (asks, unit, sign_words(readings)) if text)

    def show(self) -> None:
        """The step, its limit, what was read; in the middle of its numbers these alone."""
        at = (self.current.run.id, self.current.step.id)
        if at == self._shown and self.readings.records and not self.host.whole:
            self.host.say_notice()
            self.host.say_machine()
            self._read()
        else:
            super().show()
        self._shown = at
        self._offered = self.controller.drafts.use(self.controller.state, *at)
        if self._offered and self.readings.slot is not None:
            self.say(f"Typed before, and not taken yet: {self._offered}. Enter alone takes it.")

    def answers(self) -> None:
        """The tool, the limit with its source, what was read before the repair, and so far."""
        readings = self.readings
        self.say(f"Measured with: {readings.tool.says}. {self._count(readings)}")
        limit = readings.current.limit
        if limit is not None:
            self.say(f"Limit: {limit_text.bands(limit)}. {source_words(limit, readings.unit)}")
        if readings.earlier is not None:
            self.say(f"Before: {judged_words(readings.earlier, readings.unit)}.")
        self._read()

    def _count(self, readings: StepReadings) -> str:
        return (
            "One number is asked for."
            if readings.places == 1
            else f"{readings.places} numbers are asked for."
        )

    def _read(self) -> None:
        """What was read so far; judged once all is there."""
        readings = self.readings
        if readings.slot is None:
            for judged in readings.judged:
                self.say(f"Read: {judged_words(judged, readings.unit)}.")

    def take(self, text: str) -> None:
        """Take the number, after what there is to ask of it; Enter alone goes on once all are there."""
        readings, text = self.readings, text or self._offered
        if readings.slot is None:
            if text:
                self.say("All is read. Enter goes on; + takes one more reading.")
            elif not self.hurried():
                self.host.act(readings.go_on())
            return
        if readings.step.aid in SEEN and text == command_of(LineWord.AID).letter:
            self.say(PICTURE_ALONE)
            return
        if self.hurried():
            self._offered = text
            return
        if not text:
            less = f" Or type u: {STAYS}" if readings.again else ""
            self.say(f"{READING_FIRST}{less}")
        elif asked := readings.questions(text):
            self.host.put(ask_sure(" ".join(asked)), lambda reply: self._sure(readings, text, reply))
        else:
            self.send(readings, text)

    def _sure(self, readings: StepReadings, text: str, reply: str) -> None:
        if reply == SureReply.RIGHT:
            self.send(readings, text)

    def send(self, readings: StepReadings, text: str) -> None:
        """Have the engine take it; then say what there is to say of it."""
        self._offered = ""
        self.host.act(readings.take(text))
        run = self.controller.state.run
        if run is not None and (run.id, run.at) == (readings.current.run.id, readings.step.id):
            self.host.say(words_after(readings, self.readings, text))

    def _one_more(self, _text: str) -> None:
        more = further(self.readings)
        if more is not None:
            self._more, self.host.stale = more, True

    def _no_more(self, _text: str) -> None:
        """Not one more after all: the verdict stands as before."""
        self._more, self.host.stale = None, True

    def _units(self, _text: str) -> None:
        metric = self.host.system is UnitSystem.METRIC
        self.host.system, self.host.stale = (UnitSystem.US if metric else UnitSystem.METRIC), True

    def _aid(self, _text: str) -> None:
        from wizard.lines.inquiry import aid_lines, decay_lines

        readings = self.readings
        slot: Slot | None = readings.slot
        assert slot is not None
        if readings.step.aid is Aid.RECORDING:
            self.host.nested(lambda: decay_lines.take_recording(self.host, readings, slot))
            return
        found = self.host.nested(lambda: aid_lines.aided(self.host, readings))
        if found:
            self._offered = found
            self.say(f"Found: {found}. Enter alone takes it as the reading.")
            self.host.stale = False
