"""A note at the step on screen, or at none."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.shared_sentences import ABOUT_NOTE, NOTHING_WRITTEN
from wizard.screens.text.step_place import note_place
from wizard.screens.widgets.entry.text_area import Words


class NotePanel(Panel[cmd.Command]):
    """Ends with AddNote."""

    TITLE_TEXT = "A note"
    ABOUT = (
        "A note",
        ABOUT_NOTE,
    )

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._where = note_place(controller.view)

    def body(self) -> ComposeResult:
        """Where it goes, and the field."""
        yield Static(f"{self._where} Enter keeps it.", markup=False, classes="says")
        yield Words()

    def on_mount(self) -> None:
        """The field has the keys."""
        super().on_mount()
        self.query_one(Words).focus()

    def on_words_given(self, event: Words.Given) -> None:
        """Keep the note, if something is written."""
        if event.text:
            self.dismiss(cmd.AddNote(event.text))
        else:
            self.say(NOTHING_WRITTEN)
