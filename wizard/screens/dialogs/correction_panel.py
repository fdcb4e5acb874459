"""Correct an earlier answer, reading or machine fact: which one, what it should be, and why. The old value stays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Input, Static

from wizard.engine.messages import commands as cmd
from wizard.flow.model import Step
from wizard.screens.layout import key_table
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.clipping import cut
from wizard.screens.text.shared_sentences import (
    ASKED_AGAIN,
    CORRECTING,
    IN_RECORD,
    NONE_TO_CORRECT,
    RIGHT_FIRST,
    SAY_WHY,
)
from wizard.screens.viewmodels.correctable import (
    CorrectableEntry,
    CorrectableKind,
    aside_words,
    choices,
    correction,
    entries,
    present,
)
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.entry.text_area import Words

NARROWER = 6
"""Columns that border and margin of the sheet take."""


class CorrectionPanel(Panel[cmd.Command]):
    """Three questions on one sheet: which, what, why. Ends with Correct, CorrectReading or SetFact."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("tick")
    HERE = ("cursor", "go")
    TITLE_TEXT = CORRECTING
    ABOUT = (
        CORRECTING,
        "Choose it, give the right answer, and say why. The earlier one stays in the record. The path is walked again: "
        "what no longer lies on it is set aside. What it said of the machine is asked again where it is needed.",
    )

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._controller = controller
        self._entries = entries(controller.view)
        self._entry: CorrectableEntry | None = None
        self._offered: tuple[tuple[str, str], ...] = ()
        self._ticked: tuple[str, ...] = ()
        self._right: tuple[str, ...] = ()

    def body(self) -> ComposeResult:
        """The list, the field and the words, of which one is in sight."""
        yield Static(id="fix-says", classes="says", markup=False)
        yield PickList(id="fix-rows")
        yield EntryField(id="fix-field")
        yield Words(id="fix-why")

    def on_mount(self) -> None:
        """Ask which."""
        super().on_mount()
        if self._entries:
            self._ask(_which(self._entries[0]), entry_lines(self._entries, self.app.size.width - NARROWER))
        else:
            self._ask(f"{NONE_TO_CORRECT} Esc goes back.", [])

    def on_resize(self) -> None:
        """Lay the list of what may be corrected out anew."""
        if self.is_mounted and self._entry is None:
            self.query_one(PickList).show(entry_lines(self._entries, self.app.size.width - NARROWER))

    def _ask(self, says: str, rows: list[Content] | None = None, field: str | None = None) -> None:
        """Show one of list, field and words, with what is asked above it."""
        self.query_one("#fix-says", Static).update(says)
        shown = {"fix-rows": rows is not None, "fix-field": field is not None}
        shown["fix-why"] = not any(shown.values())
        for name, there in shown.items():
            widget = self.query_one(f"#{name}")
            widget.display = there
            if there:
                widget.focus()
        if rows is not None:
            self.query_one(PickList).show(rows, 0)
        if field is not None:
            self.query_one(EntryField).value = field
        self.host.guard.arm()
        self.show_keys()

    def on_pick_list_moved(self, event: PickList.Moved) -> None:
        """What the marked row was asked and answered, whole: in the list it may be cut."""
        if self._entry is None:
            self.query_one("#fix-says", Static).update(_which(self._entries[event.index]))

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Take the marked row."""
        if self._entry is None:
            self._chosen(self._entries[event.index])
        elif self.many:
            self._given(self._ticked)
        else:
            self._given((self._offered[event.index][0],))

    def _chosen(self, entry: CorrectableEntry) -> None:
        """Ask what it should be."""
        self._entry = entry
        self._offered = choices(self._controller.view, entry)
        again = f" {ASKED_AGAIN}" if entry.asked_again else ""
        says = f"{entry.asked}\nIt was: {entry.sentence}.{again}"
        if self._offered:
            self._ask(
                f"{says}\n{'Tick with space, then Enter.' if self.many else 'What is right?'}", self._rows()
            )
            ids = [choice for choice, _ in self._offered]
            now = present(self._controller.view, entry)
            self.query_one(PickList).show(self._rows(), ids.index(now) if now in ids else 0)
        else:
            typed = entry.sentence if entry.kind is CorrectableKind.COMPLAINT else ""
            self._ask(f"{says}\nWhat is right?", field=typed)

    @property
    def step(self) -> Step | None:
        """The step of the answer chosen, or None for a reading or a fact."""
        if self._entry is None or self._entry.kind is not CorrectableKind.ANSWER:
            return None
        given = next(
            g for g in self._controller.state.answer_records if str(g.seq) == self._entry.key and not g.aside
        )
        return self._controller.flow.inspections[given.inspection].step(given.step)

    @property
    def many(self) -> bool:
        """True when several answers may be ticked."""
        step = self.step
        return step is not None and step.many

    def _rows(self) -> list[Content]:
        ticks = {i: ("[x] " if i in self._ticked else "[ ] ") if self.many else "" for i, _ in self._offered}
        return [Content(f"{ticks[i]}{says}") for i, says in self._offered]

    def action_tick(self) -> None:
        """Tick the marked answer."""
        rows = self.query_one(PickList)
        if self._entry is not None and self.many:
            chosen = self._offered[rows.index][0]
            kept = tuple(t for t in self._ticked if t != chosen)
            self._ticked = kept if chosen in self._ticked else (*kept, chosen)
            rows.show(self._rows())

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the reading or fact that was typed."""
        if event.value.strip():
            self._given((event.value.strip(),))
        else:
            self.say(RIGHT_FIRST)

    def _given(self, right: tuple[str, ...]) -> None:
        """Ask why; the customer's words may be written again without."""
        self._right = right
        if self._entry is not None and self._entry.kind is CorrectableKind.COMPLAINT:
            self.dismiss(correction(self._entry, right))
            return
        aside = aside_words(self._controller.view, self._entry, right) if self._entry is not None else ""
        asked = f"Why is it corrected? {IN_RECORD}"
        self._ask(f"{aside}\n{asked}" if aside else asked)

    def on_words_given(self, event: Words.Given) -> None:
        """End with the command."""
        if not event.text:
            self.say(SAY_WHY)
            return
        assert self._entry is not None
        self.dismiss(correction(self._entry, self._right, event.text))


def _which(entry: CorrectableEntry) -> str:
    """What is asked of the list, and the marked entry in full."""
    asked = f"{entry.asked}\nIt was: {entry.sentence}."
    return f"Which one?\n{entry.title}: {asked}" if entry.title else f"Which one?\n{asked}"


def entry_lines(entries: Sequence[CorrectableEntry], width: int) -> list[Content]:
    """The entries, one a line: where, what was said, and behind it what was asked, which is the longest.

    What is too long is cut only where the line has no room for it: marked, it is read whole.
    """
    title = min(max((len(entry.title) for entry in entries), default=0), max(18, width // 5))
    words = min(max((len(entry.sentence) for entry in entries), default=0), max(26, width // 4))
    return [_entry_line(entry, title, words, width) for entry in entries]


def _entry_line(entry: CorrectableEntry, title: int, most: int, width: int) -> Content:
    return (
        Content.styled(f"{cut(entry.title, title):<{title}} ", "$faint")
        .append(Content.styled(f"{cut(entry.sentence, most):<{most}}", "bold"))
        .append("  ")
        .append(cut(entry.asked, width - title - most - 3))
    )
