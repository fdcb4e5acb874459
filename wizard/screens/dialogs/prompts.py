"""The small questions over a screen: a name, a reason, a typed word, yes or no, one of a few."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Input, Static

from wizard.foreign.limits import LINE_LENGTH, NAME_LENGTH
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.viewmodels.questions import (
    NO_WORDS,
    WITHOUT_WORDS,
    ChoiceQuestion,
    NameQuestion,
    PartsQuestion,
    Question,
    ReasonQuestion,
    TextQuestion,
    WhyQuestion,
    WordQuestion,
)
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.widgets.entry.answer_list import answer_lines
from wizard.screens.widgets.entry.field import EntryField, typing
from wizard.screens.widgets.entry.text_area import Words


class AskText(Panel[str]):
    """One line of text: a name, a word. Ends with the text, never an empty one unless ``empty`` allows it."""

    ABOUT = ("A short text", "Type it and press Enter. Esc goes back and changes nothing.")

    def __init__(
        self, title: str, says: str, start: str = "", empty: bool = False, most: int = LINE_LENGTH
    ) -> None:
        super().__init__()
        self.question = TextQuestion(title, says, start, empty, most)

    @classmethod
    def of(cls, question: TextQuestion) -> AskText:
        """The panel of a question, which says itself what it takes."""
        made = cls(question.title, question.says, question.start, question.empty, question.most)
        made.question = question
        return made

    def title_text(self) -> str:
        """What is asked."""
        return self.question.title

    def body(self) -> ComposeResult:
        """The question and its field."""
        asked = self.question
        yield Static(asked.says, markup=False, classes="says")
        yield EntryField(asked.start, most=asked.most, offered=bool(asked.start))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the text, if it is one to take."""
        text = event.value.strip()
        if wrong := self.wrong(text):
            self.say(wrong)
        else:
            self.dismiss(text)

    def wrong(self, text: str) -> str:
        """Why this text is not taken; empty where it is."""
        return self.question.wrong(text)


class AskName(AskText):
    """Somebody's name: of it a record and a paper speak, so that a slip of a digit is none."""

    def __init__(self, title: str, says: str, start: str = "") -> None:
        super().__init__(title, says, start, most=NAME_LENGTH)
        self.question = NameQuestion(title, says, start)


class AskReason(Panel[str]):
    """A sentence that says why. Ends with it."""

    ABOUT = ("Why", "Say it in a few words; they are kept in the record. Enter takes it, Esc goes back.")

    def __init__(self, title: str, says: str, start: str = "") -> None:
        super().__init__()
        self._title, self._says, self._start = title, says, start

    def title_text(self) -> str:
        """What is asked."""
        return self._title

    def body(self) -> ComposeResult:
        """What a reason is needed for, and the field."""
        yield Static(self._says, markup=False, classes="says")
        yield Words(self._start)

    def on_words_given(self, event: Words.Given) -> None:
        """Take the sentence, if there is one."""
        if event.text:
            self.dismiss(event.text)
        else:
            self.say(NO_WORDS)


class PickReason(AskReason):
    """A reason picked by its digit, or a sentence of one's own. Ends with the words."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("digits")
    AUTO_FOCUS = ""
    takes_words = True
    ABOUT = (
        "Why",
        "Press the digit of the reason that fits. Another one is written: begin to type, or press the last digit, "
        "and Enter takes it. The words are kept in the record. Esc goes back and changes nothing.",
    )

    def __init__(self, title: str, says: str, reasons: Sequence[str]) -> None:
        super().__init__(title, says)
        self._reasons = tuple(reasons)

    def body(self) -> ComposeResult:
        """What a reason is needed for, the reasons, and the field."""
        words, field = super().body()
        yield words
        rows = [AnswerRow(f"{n}", says) for n, says in enumerate((*self._reasons, "Another reason:"), 1)]
        yield Static(Content("\n").join(answer_lines(rows, 66)), id="answers")
        yield field

    def here(self) -> tuple[str, ...]:
        """The digits that work, or Enter once it is written."""
        return ("go",) if typing(self) else (f"digits:{len(self._reasons) + 1}",)

    def on_descendant_focus(self) -> None:
        """Enter takes what is written."""
        self.show_keys()

    def before_key(self, event: events.Key) -> None:
        """Give the field the keys before the first one that is text goes anywhere: so none goes beside it, however
        fast they come. A digit first picks a reason.
        """
        field = self.query_one(Words)
        picks = (event.character or "").isdigit() and not field.text
        if event.character and event.is_printable and not picks and not field.has_focus:
            self.set_focus(field)

    def on_key(self, event: events.Key) -> None:
        """Enter with nothing picked and nothing begun says what to press."""
        if event.key == "enter" and not self.query_one(Words).has_focus:
            self.say("Press the digit of a reason, or write one.")

    def action_digit(self, digit: int) -> None:
        """End with that reason; with the last digit go to the field."""
        if 1 <= digit <= len(self._reasons):
            self.dismiss(self._reasons[digit - 1])
        elif digit == len(self._reasons) + 1:
            self.query_one(Words).focus()
        else:
            self.say(key_table.wrong_digit(digit, self.here()))


class AskWhy(AskReason):
    """A sentence that says why, where none need be given. Ends with it; empty only when Enter is pressed twice."""

    ABOUT = (
        "Why",
        "Say it in a few words; they are kept in the record. Enter takes them. With nothing written, Enter twice goes "
        "on without: a reviewer is shown that no reason was given. Esc goes back.",
    )

    def __init__(self, title: str, says: str) -> None:
        super().__init__(title, says)
        self._warned = False

    def on_words_given(self, event: Words.Given) -> None:
        """Take the sentence; none only once it was said what that means."""
        event.prevent_default()
        if event.text or self._warned:
            self.dismiss(event.text)
            return
        self._warned = True
        self.say(WITHOUT_WORDS)


class AskWord(Panel[bool]):
    """For what can't be undone: a word typed in full. Ends with True."""

    ABOUT = (
        "It can't be undone",
        "Type the word in full and press Enter. Esc goes back and changes nothing.",
    )

    def __init__(self, title: str, says: str, word: str) -> None:
        super().__init__()
        self._question = WordQuestion(title, says, word)

    def title_text(self) -> str:
        """What will be done."""
        return self._question.title

    def body(self) -> ComposeResult:
        """What it means, and the field for the word."""
        yield Static(f"{self._question.says}\n\n{self._question.wanted}", markup=False, classes="says")
        yield EntryField("")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the word if it is the one."""
        if wrong := self._question.wrong(event.value):
            self.say(wrong)
        else:
            self.dismiss(True)


class AskOne(Panel[str]):
    """One of a few, each on a digit. Ends with its id."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("digits")
    ABOUT = ("One of these", "Press the digit of what fits. Esc goes back and changes nothing.")

    def __init__(self, title: str, says: str, choices: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self._title, self._says = title, says
        self._choices = {str(n): choice for n, choice in enumerate(choices, start=1)}

    def title_text(self) -> str:
        """What is asked."""
        return self._title

    def body(self) -> ComposeResult:
        """The question and its answers."""
        yield Static(self._says, markup=False, classes="says")
        yield Static(id="answers")

    def on_mount(self) -> None:
        """Show the answers."""
        rows = [AnswerRow(number, says) for number, (_id, says) in self._choices.items()]
        self.query_one("#answers", Static).update(Content("\n").join(answer_lines(rows, 66, airy=True)))

    def here(self) -> tuple[str, ...]:
        """The digits that work."""
        return (f"digits:{len(self._choices)}",)

    def action_digit(self, digit: int) -> None:
        """Take that answer."""
        chosen = self._choices.get(str(digit))
        if chosen:
            self.dismiss(chosen[0])
        else:
            self.say(key_table.wrong_digit(digit, self.here()))


def panel_of(question: Question[Any]) -> Panel[Any]:
    """The panel that asks a question."""
    from wizard.screens.dialogs.parts_panel import PartsPanel

    title, says = question.title, question.says
    match question:
        case NameQuestion():
            return AskName(title, says, question.start)
        case TextQuestion():
            return AskText.of(question)
        case ReasonQuestion():
            return (
                PickReason(title, says, question.offers)
                if question.offers
                else AskReason(title, says, question.start)
            )
        case WhyQuestion():
            return AskWhy(title, says)
        case WordQuestion():
            return AskWord(title, says, question.word)
        case ChoiceQuestion():
            return AskOne(title, says, question.choices)
        case PartsQuestion():
            return PartsPanel(question)
    raise TypeError(f"no panel asks a {type(question).__name__}")
