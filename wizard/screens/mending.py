"""The repair of a confirmed fault: what to do, with which parts, and what became of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.flow.model import Fault
from wizard.review import parts
from wizard.review.parts import Needed
from wizard.screens import keys
from wizard.screens.asks import AskReason, AskText
from wizard.screens.jobscreen import JobScreen
from wizard.screens.models.mending import lonely, may_work, place_words, remedy_lines
from wizard.screens.panel import Panel
from wizard.screens.widgets.answers import Row, answer_lines
from wizard.screens.widgets.more import More
from wizard.screens.widgets.picklist import PickList


class MendingScreen(JobScreen):
    """1 fitted, 3 declined, 5 on order; Enter asks who helps and leads through the gate, where the work needs it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *keys.bindings("digits", "open"),
        Binding("escape", "map", "back", show=False),
    ]
    ABOUT: ClassVar[tuple[str, str]] = (
        "The repair",
        "Read the warnings, then do one act after the other. 1: it is done and the parts are in. 3: the customer "
        "declined; tell them the risk first and write down how you told them. 5: parts are on order; the machine is "
        "then left safe and marked. Where the work takes two, the second one is named before it: press Enter. The "
        "work needs its safety state: Enter opens the gate that leads there.",
    )

    def body(self) -> ComposeResult:
        """The remedy, which may be longer than the screen, and below it what became of it."""
        with VerticalScroll(id="mending-do"):
            yield Static(id="mending-text")
        yield More("mending-do")
        yield Static(id="mending-answers")

    def on_mount(self) -> None:
        """The arrow keys move the text."""
        super().on_mount()
        self.query_one(VerticalScroll).focus()

    @property
    def fault(self) -> Fault:
        """The fault that is dealt with."""
        return self.desk.flow.faults[self.desk.scene.target]

    @property
    def ready(self) -> bool:
        """True when the work may be done in the present safety state, by those who are there."""
        return may_work(self.desk.flow, self.desk.state, self.fault)

    @property
    def way(self) -> str:
        """The gate that leads to the work; empty where the present state must be ended first."""
        return self.desk.way_to(self.fault.remedy.states)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The remedy and where it is done."""
        return self.fault.remedy.says, (f"for: {self.fault.says}",), place_words(self.fault)

    def here(self) -> tuple[str, ...]:
        """The answers' digits, and the gate's key where a gate is needed first."""
        return ("digits:1,3,5", "scroll") if self.ready else ("open", "digits:3,5", "scroll")

    def project(self) -> None:
        """Show the remedy and the three ways it can go."""
        flow, state, width = self.desk.flow, self.desk.state, self.room[0]
        text = remedy_lines(flow, state, self.fault, width - 2)
        self.query_one("#mending-text", Static).update(Content("\n").join(text))
        self.query_one("#mending-answers", Static).update(Content("\n").join(self._answers(width)))

    def _answers(self, width: int) -> list[Content]:
        rows = [
            Row("3", "Declined by the customer, who was told the risk"),
            Row("5", "Parts on order: leave the machine safe and marked"),
        ]
        if self.ready:
            done = "Done as above, parts fitted" if self.fault.remedy.parts else "Done as above"
            return answer_lines([Row("1", done), *rows], width)
        return answer_lines([Row("Enter", self._first()), *rows], width)

    def _first(self) -> str:
        """What comes before the work: who helps, the gate, or the end of the state that is in its way."""
        if lonely(self.desk.state, self.fault):
            return "First: name the second person. This work takes two."
        gate = self.desk.flow.inspections.get(self.way)
        if gate is None:
            return "First end the present safety state."
        return f"First: {gate.title}. Then the work may be done."

    def action_go(self) -> None:
        """Ask who helps, open the gate that the work needs, or end the state that is in its way."""
        if self.ready or self.host.guard.early():
            return
        if lonely(self.desk.state, self.fault):
            ask = AskText(
                "Who is the second person?", "Two people are needed for this repair, from its first act on."
            )
            self.host.ask(ask, lambda name: self.host.act(cmd.NamePerson(name)))
        else:
            self.host.act(cmd.Open(self.way) if self.way else cmd.Pause())

    def action_digit(self, number: int) -> None:
        """Record what became of it."""
        if self.host.guard.early():
            return
        match number:
            case 1 if lonely(self.desk.state, self.fault):
                self.host.say("This work takes two, and the second one is not named. Press Enter first.")
            case 1 if not self.ready:
                self.host.say("The machine is not safe for this work yet. Enter leads there.")
            case 1:
                self._with_parts(FITTED, lambda codes: self._mend("fitted", codes))
            case 3:
                self._declined()
            case 5:
                self._with_parts(ORDERED, self._ordered)
            case _:
                self.host.say(keys.wrong_digit(number, self.here()))

    def _mend(self, outcome: str, codes: tuple[str, ...], reason: str = "") -> None:
        self.host.act(cmd.Mend(self.fault.id, outcome, codes, reason))

    def _with_parts(self, asked: Asked, then: Callable[[tuple[str, ...]], None]) -> None:
        needed = parts.needed(self.fault.remedy, self.desk.state.facts)
        if needed:
            self.host.ask(PartsPanel(asked, needed), then)
        else:
            then(())

    def _declined(self) -> None:
        remedy = self.fault.remedy
        codes = tuple(p.code for p in parts.needed(remedy, self.desk.state.facts))
        risk = remedy.risk or "Say what may happen without the repair."
        says = f"Tell the customer: {risk} Then write down in which words you told them."
        ask = AskReason("Declined: what was the customer told?", says)
        self.host.ask(ask, lambda told: self._mend("declined", codes, told))

    def _ordered(self, codes: tuple[str, ...]) -> None:
        says = "Supplier, order number and date, so that the next visit knows. You may leave it empty."
        ask = AskText("Where are they ordered?", says, empty=True)
        self.host.ask(ask, lambda note: self._mend("on-order", codes, note))


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of the parts; ``may_be_none``: a repair may need none of them after all, an order can't."""

    title: str
    says: str
    may_be_none: bool


FITTED = Asked(
    "Which parts did you fit?",
    "What this repair needs here is filled in. Change it to what you really fitted; 0 leaves a part out.",
    True,
)
ORDERED = Asked(
    "Which parts are on order?",
    "What this repair needs here is filled in. Change it to what you really ordered; 0 leaves a part out.",
    False,
)


class PartsPanel(Panel[tuple[str, ...]]):
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

    def __init__(self, asked: Asked, needed: tuple[Needed, ...]) -> None:
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
        if self.host.guard.early():
            return
        codes = tuple(p.code for p in self._needed if p.count)
        if codes or self._asked.may_be_none:
            self.dismiss(codes)
        else:
            self.say("Nothing is on the list. Add a part with +, or go back with Esc.")
