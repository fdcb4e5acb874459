"""The repair of a confirmed fault: what to do, with which parts, and what became of it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.engine.queries.machine_view import badge
from wizard.flow.model import Fault
from wizard.screens.job.repair_offers import Offer, RepairOffers
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.text.step_text import wrap
from wizard.screens.viewmodels.faults.remedy_lines import remedy_lines
from wizard.screens.viewmodels.faults.remedy_words import first_words, may_work, place_words
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.viewmodels.step.step_columns import GAP, arrangements
from wizard.screens.widgets.entry.answer_list import answer_lines
from wizard.screens.widgets.entry.scroll_hint import ScrollHint
from wizard.screens.widgets.faults.ranking_box import RankingBox
from wizard.screens.widgets.frame.safety_box import columns_of
from wizard.screens.widgets.job_map.map_column import MapColumn

APART = 3
"""Columns between the words and the ranking."""


class RepairScreen(JobScreen):
    """A digit each: done (in which way), declined, on order; Enter asks first what the work needs of the machine."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *key_table.bindings("digits", "open"),
        Binding("escape", "job('map')", "back", show=False),
    ]
    ABOUT: ClassVar[tuple[str, str]] = (
        "The repair",
        "Read the warnings, then do one act after the other. First: it is done and the parts are in; where there are "
        "several ways, each has its digit. Then: the customer declined; tell them the risk first and write down how "
        "you told them. Last, where it takes parts: they are on order; the machine is then left safe and marked. "
        "What the work needs of the machine and isn't known yet is asked by Enter; till then it can't be done.",
    )

    def body(self) -> ComposeResult:
        """The remedy, which may be longer than the screen, and below it what became of it; on a wide screen between
        the map and the ranking.
        """
        with Horizontal(id="mending-columns"):
            yield MapColumn(id="map-column")
            with Vertical(id="mending-words"):
                with VerticalScroll(id="mending-do"):
                    yield Static(id="mending-text")
                yield ScrollHint("mending-do")
                yield Static(id="mending-answers")
            yield RankingBox(id="standing")

    def on_mount(self) -> None:
        """The arrow keys move the text."""
        super().on_mount()
        self.query_one(VerticalScroll).focus()

    @property
    def fault(self) -> Fault:
        """The fault that is dealt with."""
        return self.controller.flow.faults[self.controller.scene.target]

    def offers(self) -> list[Offer]:
        """What may be answered now, in the order of the digits from 1 on."""
        return RepairOffers(self.host, self.fault).now(self.ready)

    @property
    def ready(self) -> bool:
        """True when the work may be done now."""
        return may_work(self.controller.view, self.fault)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The remedy, for which fault unless its name has no room there, how long it takes, and where it is done."""
        named = () if self._long() else (self._named,)
        return (
            self.fault.remedy.says,
            (*named, f"{self.fault.remedy.minutes:.0f} min"),
            place_words(self.controller.view, self.fault),
        )

    @property
    def _named(self) -> str:
        return f"for: {self.fault.says}"

    def _long(self) -> bool:
        """True where the fault's name has no room beside the box: it stands whole over the text then."""
        return len(self._named) > self.size.width - 2 - columns_of(badge(self.controller.view))

    def here(self) -> tuple[str, ...]:
        """The answers' digits, and Enter where something is asked first."""
        digits = f"digits:{len(self.offers())}"
        return (digits, "scroll") if self.ready else ("open", digits, "scroll")

    def project(self) -> None:
        """Show the remedy and the ways it can go."""
        width = self._lay()
        named = [*wrap(self._named, width - 2), Content("")] if self._long() else []
        text = [*named, *remedy_lines(self.controller.view, self.fault, width - 2, self.ready)]
        self.query_one("#mending-text", Static).update(Content("\n").join(text))
        self.query_one("#mending-answers", Static).update(Content("\n").join(self._answers(width)))

    def _lay(self) -> int:
        """Put map and ranking beside the words where there is room for them; the columns that the words have."""
        view, room, ranking = self.controller.view, self.room, self.query_one(RankingBox)
        beside = next(arrangements(room.columns))
        self.query_one(MapColumn).show(view, beside.map - GAP, room.lines, self.fault.id)
        ranking.display = beside.map > 0
        if not ranking.display:
            return room.columns
        ranking.follow(view, beside.evidence)
        return room.columns - beside.map - beside.evidence - APART

    def _answers(self, width: int) -> list[Content]:
        rows = [AnswerRow(f"{n}", says) for n, (says, _ask) in enumerate(self.offers(), 1)]
        if not self.ready:
            rows.insert(0, AnswerRow("Enter", first_words(self.controller.view, self.fault)))
        return answer_lines(rows, width)

    def action_go(self) -> None:
        """Ask what the work needs of the machine, as far as it isn't known."""
        if not self.ready:
            self.host.act(cmd.Prepare(self.fault.id))

    def action_digit(self, number: int) -> None:
        """Record what became of it."""
        offers = self.offers()
        if 1 <= number <= len(offers):
            offers[number - 1][1]()
        else:
            self.host.say(key_table.wrong_digit(number, self.here()))
