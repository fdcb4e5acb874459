"""A few words that must say something: somebody else reads them."""

from __future__ import annotations

from wizard.screens.dialogs.prompts import AskReason
from wizard.screens.widgets.entry.text_area import Words
from wizard.sessions.reviews.review_rows import wordless


class AskContent(AskReason):
    """A sentence for somebody else to read. Ends with it; 'x' is none."""

    ABOUT = ("In words", "Write it in a few words for whoever reads it. Enter takes it, Esc goes back.")

    def on_words_given(self, event: Words.Given) -> None:
        """Take the words, if they say something."""
        event.prevent_default()
        if wrong := wordless(event.text):
            self.say(wrong)
        else:
            self.dismiss(event.text)
