"""A warning before the action: its signal word, then its text. Words after ANSI Z535.6 and ISO 3864."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from wizard.flow.model import SIGNAL_WORDS, Caution
from wizard.screens.plain import sign
from wizard.screens.widgets.wrapping import wrapped

STYLES = {
    "danger": "bold reverse $danger",
    "warning": "bold reverse $warning",
    "caution": "bold reverse $caution",
    "notice": "bold reverse $notice",
}


def signal(word: str) -> str:
    """The word with the alert sign; a notice has none, since it is not about injury."""
    mark = "" if word == "notice" else f"{sign('▲')} "
    return f" {mark}{word.upper()} "


def caution_lines(cautions: Sequence[Caution], width: int) -> list[Content]:
    """The cautions as lines, the gravest first; each text hangs behind its signal word, or under it when narrow."""
    lines: list[Content] = []
    for caution in sorted(cautions, key=lambda c: SIGNAL_WORDS.index(c.word)):
        lines += block(signal(caution.word), STYLES[caution.word], caution.says, width)
    return lines


def block(word: str, style: str, says: str, width: int) -> list[Content]:
    """A styled word, and text hanging behind it."""
    hang = len(word) + 2
    if width - hang < 24:
        return [Content.styled(word, style), *(Content(x) for x in wrapped(says, width))]
    rows = wrapped(says, width - hang) or [""]
    first = Content.styled(word, style).append("  " + rows[0])
    return [first, *(Content(" " * hang + row) for row in rows[1:])]


class Cautions(Static):
    """Cautions kept in sight on what lies over their step; nothing where there are none."""

    DEFAULT_CSS = """
    Cautions { width: 1fr; height: auto; margin-bottom: 1; }
    """

    def __init__(self, cautions: Sequence[Caution], id: str | None = None) -> None:
        super().__init__(id=id)
        self._cautions = tuple(cautions)
        self.display = bool(self._cautions)

    def on_resize(self) -> None:
        """Wrap them to the width that there is."""
        self.update(Content("\n").join(caution_lines(self._cautions, max(20, self.size.width))))
