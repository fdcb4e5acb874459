"""Which parts went in, or are on order: a list whose counts can be changed."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.documents.content.part_counts import MOST_PARTS, Needed
from wizard.engine.messages.repair_parts import PartFitted
from wizard.screens.layout.panel import Panel
from wizard.screens.text.shared_sentences import NONE_LISTED
from wizard.screens.viewmodels.questions import PartsQuestion
from wizard.screens.widgets.entry.picklist import PickList


class PartsPanel(Panel[tuple[PartFitted, ...]]):
    """The parts of a remedy with their counts: left and right change a count, Enter takes them."""

    HERE = ("cursor", "count", "these")
    ABOUT = (
        "Parts",
        "The list begins with what this repair needs on this machine. Make it what you really fitted, or ordered: Up "
        "and Down mark a part; digits say how many of it, Right or + adds one, Left or - takes one off. A part with "
        "0 is left out. Enter "
        "writes the list down.",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right,plus", "count(1)", "one more", show=False),
        Binding("left,minus", "count(-1)", "one less", show=False),
        *(Binding(str(n), f"digit({n})", "count", show=False) for n in range(10)),
    ]

    def __init__(self, asked: PartsQuestion) -> None:
        super().__init__()
        self._asked, self._needed = asked, list(asked.needed)
        self._typed: int | None = None  # The part whose count began with the last key, a digit.

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
        self._typed = None
        self._put(index, min(MOST_PARTS, max(0, self._needed[index].count + by)))

    def action_digit(self, digit: int) -> None:
        """So many of the marked part; a second digit behind the first where that still is a count."""
        index = self.query_one(PickList).index
        tens = 10 * self._needed[index].count if self._typed == index else 0
        self._typed = index if tens == 0 else None
        self._put(index, tens + digit if tens + digit <= MOST_PARTS else digit)

    def _put(self, index: int, count: int) -> None:
        part = self._needed[index]
        self._needed[index] = Needed(part.id, part.says, count)
        self._show()

    def on_pick_list_moved(self) -> None:
        """Another part is marked: its count begins anew."""
        self._typed = None

    def on_pick_list_picked(self) -> None:
        """Take the marked row."""
        parts = tuple(p.fitted for p in self._needed if p.count)
        if parts or self._asked.none:
            self.dismiss(parts)
        else:
            self.say(f"{NONE_LISTED} Add a part with +, or go back with Esc.")
