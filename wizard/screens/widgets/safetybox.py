"""The safety state as a word in a box, always in sight; a sign stands with each, so that colour only helps."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from wizard.engine.state import State
from wizard.screens import words
from wizard.screens.plain import sign

SIGNS = {"covered": "○", "isolated": "■", "proved-dead": "■", "wet": "▲", "proving": "▲", "stopped": "✗"}
STYLES = {
    "covered": "bold $warning",
    "isolated": "bold $success",
    "proved-dead": "bold $success",
    "wet": "bold $warning",
    "proving": "bold $error reverse",
    "stopped": "bold $error reverse",
}


def safety_words(state: State) -> Content:
    """The sign and the words: '■ ISOLATED 14:02'."""
    text = f" {sign(SIGNS.get(state.safety, '○'))} {words.since(state)} "
    return Content.styled(text, STYLES.get(state.safety, "bold"))


class SafetyBox(Static):
    """The box. Its border is heavy once a gate holds, and thin while nothing is established."""

    DEFAULT_CSS = """
    SafetyBox { width: auto; height: 3; border: round $rule; padding: 0 1; }
    SafetyBox.-held { border: heavy $success; }
    SafetyBox.-live { border: double $error; }
    SafetyBox.-plain { border: ascii $rule; }
    """

    def show(self, state: State) -> None:
        """Show the safety state of a job."""
        self.set_class(state.safety in ("isolated", "proved-dead"), "-held")
        self.set_class(state.safety in ("proving", "wet", "stopped"), "-live")
        self.set_class(sign("▲") == "!", "-plain")
        self.update(safety_words(state))
