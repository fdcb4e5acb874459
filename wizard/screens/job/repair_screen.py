"""The repair of a confirmed fault: what to do, with which parts, and what became of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.documents.content import part_counts
from wizard.documents.content.part_counts import Needed
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.handlers.repair import NOT_ASKED, consented
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.repair_parts import PartFitted
from wizard.flow.model import Fault
from wizard.screens.dialogs.prompts import AskReason, AskText, YesReply, ask_yes
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.layout.panel import Panel
from wizard.screens.viewmodels.faults.remedy_lines import (
    first_words,
    may_work,
    place_words,
    remedy_lines,
    ways_done,
)
from wizard.screens.widgets.entry.answer_list import AnswerRow, answer_lines
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.entry.scroll_hint import ScrollHint


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
        """The remedy, which may be longer than the screen, and below it what became of it."""
        with VerticalScroll(id="mending-do"):
            yield Static(id="mending-text")
        yield ScrollHint("mending-do")
        yield Static(id="mending-answers")

    def on_mount(self) -> None:
        """The arrow keys move the text."""
        super().on_mount()
        self.query_one(VerticalScroll).focus()

    @property
    def fault(self) -> Fault:
        """The fault that is dealt with."""
        return self.controller.flow.faults[self.controller.scene.target]

    @property
    def ready(self) -> bool:
        """True when the work may be done now."""
        return may_work(self.controller.view, self.fault)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The remedy, how long it takes, and where it is done."""
        return (
            self.fault.remedy.says,
            (f"for: {self.fault.says}", f"{self.fault.remedy.minutes:.0f} min"),
            place_words(self.controller.flow, self.fault),
        )

    def here(self) -> tuple[str, ...]:
        """The answers' digits, and Enter where something is asked first."""
        digits = f"digits:{len(self._offers())}"
        return (digits, "scroll") if self.ready else ("open", digits, "scroll")

    def project(self) -> None:
        """Show the remedy and the ways it can go."""
        width = self.room.columns
        text = remedy_lines(self.controller.view, self.fault, width - 2, self.ready)
        self.query_one("#mending-text", Static).update(Content("\n").join(text))
        self.query_one("#mending-answers", Static).update(Content("\n").join(self._answers(width)))

    def _offers(self) -> list[tuple[str, Callable[[], None]]]:
        """What may be answered now, in the order of the digits from 1 on: words, and what is then asked."""
        ways = ways_done(self.fault.remedy) if self.ready else ()
        offers: list[tuple[str, Callable[[], None]]] = [
            (says, partial(self._done, way)) for way, says in ways
        ]
        offers.append(("Declined by the customer, who was told the risk", self._declined))
        if self.fault.remedy.parts:
            offers.append(("Parts on order: leave the machine safe and marked", self._to_order))
        return offers

    def _answers(self, width: int) -> list[Content]:
        rows = [AnswerRow(f"{n}", says) for n, (says, _ask) in enumerate(self._offers(), 1)]
        if not self.ready:
            rows.insert(0, AnswerRow("Enter", first_words(self.controller.view, self.fault)))
        return answer_lines(rows, width)

    def action_go(self) -> None:
        """Ask what the work needs of the machine, as far as it isn't known."""
        if not self.ready:
            self.host.act(cmd.Prepare(self.fault.id))

    def action_digit(self, number: int) -> None:
        """Record what became of it."""
        offers = self._offers()
        if 1 <= number <= len(offers):
            offers[number - 1][1]()
        else:
            self.host.say(key_table.wrong_digit(number, self.here()))

    def _done(self, way: str) -> None:
        """Record that it is done, in this way."""
        self._fit(part_counts.needed(self.fault.remedy, self.controller.state.facts, way), way)

    def _fit(self, listed: tuple[Needed, ...], alternative: str) -> None:
        """Ask which parts went in for it, if it takes any; then record it."""
        if listed:
            self.host.ask(PartsPanel(FITTED, listed), lambda parts: self._whole(listed, parts, alternative))
        else:
            self._mend(RepairOutcome.FITTED, (), alternative=alternative)

    def _whole(self, listed: tuple[Needed, ...], parts: tuple[PartFitted, ...], alternative: str) -> None:
        """Record what was fitted; less than the whole set only once it is said that it is so."""
        short = part_counts.short_words(self.fault.remedy, self.controller.state.facts, parts, alternative)
        if not short:
            self._mend(RepairOutcome.FITTED, parts, alternative=alternative)
            return
        counts = {p.part: p.count for p in parts}
        again = tuple(Needed(p.id, p.says, counts.get(p.id, 0)) for p in listed)
        says = f"Fitted: {short}. Is that so? The papers then don't say that the whole set was changed."
        question = ask_yes("Less than the whole set?", says, "Yes: no more went in", "No: back to the parts")
        self.host.ask(
            question,
            lambda said: (
                self._mend(RepairOutcome.FITTED, parts, alternative=alternative)
                if said is YesReply.YES
                else self._fit(again, alternative)
            ),
        )

    def _mend(
        self, outcome: RepairOutcome, parts: tuple[PartFitted, ...], reason: str = "", alternative: str = ""
    ) -> None:
        self.host.act(cmd.RecordRepair(self.fault.id, outcome, parts, reason, alternative))

    def _declined(self) -> None:
        remedy = self.fault.remedy
        parts = tuple(p.fitted for p in part_counts.ordered(remedy, self.controller.state.facts) if p.count)
        risk = remedy.risk or "Say what may happen without the repair."
        says = f"Tell the customer: {risk} Then write down in which words you told them."
        ask = AskReason("Declined: what was the customer told?", says)
        self.host.ask(ask, lambda told: self._mend(RepairOutcome.DECLINED, parts, told))

    def _to_order(self) -> None:
        if not consented(self.controller.view, self.fault):
            self.host.say(f"{NOT_ASKED} Enter asks them; then come back here from the map.")
            return
        needed = part_counts.ordered(self.fault.remedy, self.controller.state.facts)
        says = "Supplier, order number and date, so that the next visit knows. You may leave it empty."
        ask = AskText("Where are they ordered?", says, empty=True)

        def where(parts: tuple[PartFitted, ...]) -> None:
            self.host.ask(ask, lambda note: self._mend(RepairOutcome.ON_ORDER, parts, note))

        self.host.ask(PartsPanel(ORDERED, needed), where)


@dataclass(frozen=True, slots=True)
class FittingReply:
    """What is asked of the parts; ``may_be_none``: a repair may need none of them after all, an order can't."""

    title: str
    says: str
    may_be_none: bool


FITTED = FittingReply(
    "Which parts did you fit?",
    "What this repair needs here is filled in. Change it to what you really fitted; 0 leaves a part out.",
    True,
)
ORDERED = FittingReply(
    "Which parts are on order?",
    "What this repair needs here is filled in. Change it to what you really ordered; 0 leaves a part out.",
    False,
)


class PartsPanel(Panel[tuple[PartFitted, ...]]):
    """The parts of a remedy with their counts: left and right change a count, Enter takes them."""

    HERE = ("cursor", "count", "these")
    ABOUT = (
        "Parts",
        "The list begins with what this repair needs on this machine. Make it what you really fitted, or ordered: Up "
        "and Down mark a part; Right or + adds one of it, Left or - takes one off. A part with 0 is left out. Enter "
        "writes the list down.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right,plus", "count(1)", "one more", show=False),
        Binding("left,minus", "count(-1)", "one less", show=False),
    ]

    def __init__(self, asked: FittingReply, needed: tuple[Needed, ...]) -> None:
        super().__init__()
        self._asked, self._needed = asked, list(needed)

    def title_text(self) -> str:
        """What is asked."""
        return self._asked.title

    def body(self) -> ComposeResult:
        """What the counts stand for, and the parts."""
        yield Static(self._asked.says, markup=False, classes="says")
        yield PickList(id="parts")

    def on_mount(self) -> None:
        """Show the parts; the list has the keys."""
        super().on_mount()
        self._show()
        self.query_one(PickList).focus()

    def _show(self) -> None:
        rows = [Content(f"{p.count:>3} x {p.says}{'' if p.count else '  (left out)'}") for p in self._needed]
        self.query_one(PickList).show(rows)

    def action_count(self, by: int) -> None:
        """One more or one less of the marked part."""
        index = self.query_one(PickList).index
        part = self._needed[index]
        self._needed[index] = Needed(part.id, part.says, min(99, max(0, part.count + by)))
        self._show()

    def on_pick_list_picked(self) -> None:
        """Take the marked row."""
        parts = tuple(p.fitted for p in self._needed if p.count)
        if parts or self._asked.may_be_none:
            self.dismiss(parts)
        else:
            self.say("Nothing is on the list. Add a part with +, or go back with Esc.")
