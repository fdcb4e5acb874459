"""A step that computes from what was read before: the values, judged, and Enter to go on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from wizard.engine.measuring.computing import Computation, computation
from wizard.engine.messages import commands as cmd
from wizard.flow.model import ComputeStep
from wizard.screens.job.measured_base import AidedScreen
from wizard.screens.layout import key_table
from wizard.screens.text.charset import plain
from wizard.screens.text.columns import packed, stack
from wizard.screens.text.step_text import step_lines, wrap
from wizard.screens.viewmodels.reading.reading_words import not_computed
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.widgets.entry.answer_list import answer_lines
from wizard.screens.widgets.readings.ruler_box import WIDEST, Ruler, reading_words, room_of


class ComputedScreen(AidedScreen):
    """What the readings come to."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("go", at_once=True)
    ABOUT = (
        "Computed from your readings",
        "The program computes this from what you measured and judges it by the limit under it, whose source stands "
        "there. Enter takes it into the record.",
    )

    def words_side(self) -> ComposeResult:
        """Words and ruler."""
        with Vertical(id="left"):
            yield from super().words_side()
            yield Ruler(id="ruler")

    def here(self) -> tuple[str, ...]:
        """Enter, undo, can't, picture, drawing."""
        return ("go", "undo", "unable", *self.picture_keys())

    def project(self) -> None:
        """Compute and show."""
        current, view, unit = self.current, self.controller.view, self.unit
        step, limit, system = current.step, current.limit, current.other_system(self.host.system)
        assert isinstance(step, ComputeStep)
        computed = computation(view, current.run, step)
        outcome = computed.outcome

        def draw(width: int, airy: bool) -> Sequence[Content]:
            warnings, do, expect = step_lines(view, width, system)
            return stack(
                warnings,
                do,
                expect,
                value_lines(computed, unit, width, bool(self.sight.lines) and not airy),
                self.go_on(width),
            )

        lines = self.room.lines
        judged = [j for j in outcome.items if j.verdict] if outcome else []
        ghost = current.earlier(None, judged)

        def left(width: int) -> int:
            return lines - room_of(limit, unit, width, bool(judged), ghost is not None)

        page = self.lay(draw, left)
        words, width = packed(page.layout.lines, left(page.width)), page.width
        apart = int(len(words) <= left(width))  # A line over the ruler, unless its source wants it.
        self.query_one("#words", Static).update(Content("\n").join([*words, *[Content("")] * apart]))
        ruler = self.query_one(Ruler)
        ruler.show(limit, judged, unit, min(width, WIDEST), max(3, lines - len(words) - apart), ghost)
        ruler.display = limit is not None and not self.sight.alone

    def go_on(self, width: int) -> list[Content]:
        """The row of the Enter key."""
        return answer_lines([AnswerRow("Enter", "Go on")], width)

    def action_go(self) -> None:
        """Take it into the record."""
        if not self.hurried():
            current = self.current
            self.host.act(cmd.Judge(current.run.id, current.step.id))


def value_lines(computed: Computation, unit: str, width: int, terse: bool = False) -> list[Content]:
    """The values, one a line, each with what is said of it (not if ``terse``: a picture says it); or why none."""
    if computed.outcome is None:
        return wrap(not_computed(computed), width)
    lines: list[Content] = []
    for j in computed.outcome.items:
        lines.append(reading_words(j, unit, plain()))
        lines += wrap(f"  {j.says}", width) if j.says and not terse else []
    return lines
