"""A step that computes from what was read before: the values, judged, and Enter to go on."""

from __future__ import annotations

from wizard.documents.text import limit_text
from wizard.engine.measuring.computing import computation
from wizard.engine.messages import commands as cmd
from wizard.flow.model import ComputeStep
from wizard.lines.scenes.line_scene import Own
from wizard.lines.scenes.step_scene import StepLines
from wizard.lines.terminal.line_commands import LineWord
from wizard.lines.terminal.typed_number import echoed
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.viewmodels.reading.reading_words import judged_words, not_computed, source_words


class ComputedLines(StepLines):
    """What the readings come to."""

    ABOUT = (
        "The program computes this from what you measured and judges it by its limit, whose source stands with it. "
        "Enter takes it into the record."
    )

    @property
    def own(self) -> Own:
        """Other units, where there are any."""
        return {**super().own, LineWord.UNITS: self._units} if self.current.convertible else super().own

    @property
    def prompt(self) -> str:
        """Enter alone."""
        return "Enter goes on"

    def answers(self) -> None:
        """The values, one a line, each with what is said of it; the limit."""
        current, unit = self.current, self.current.unit(self.host.system)
        step = current.step
        assert isinstance(step, ComputeStep)
        computed = computation(self.controller.view, current.run, step)
        if computed.outcome is None:
            self.say(not_computed(computed))
            return
        for judged in computed.outcome.items:
            self.say(" ".join(x for x in (f"Computed: {judged_words(judged, unit)}.", judged.says) if x))
        judged_all = [j for j in computed.outcome.items if j.verdict]
        if earlier := current.earlier(None, judged_all):
            self.say(f"Before: {judged_words(earlier, unit)}.")
        if current.limit is not None:
            self.say(f"Limit: {limit_text.bands(current.limit)}. {source_words(current.limit, unit)}")

    def take(self, text: str) -> None:
        """Take it into the record."""
        if text:
            self.say(f"There is no {echoed(text)} here: Enter goes on.")
        elif not self.hurried():
            current = self.current
            self.host.act(cmd.Judge(current.run.id, current.step.id))

    def _units(self, _text: str) -> None:
        metric = self.host.system is UnitSystem.METRIC
        self.host.system, self.host.stale = (UnitSystem.US if metric else UnitSystem.METRIC), True
