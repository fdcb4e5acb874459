"""A warning as lines: its signal word, then its text. Words after ANSI Z535.6 and ISO 3864."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.domain.vocabulary import SignalWord
from wizard.flow.model import Caution
from wizard.screens.text.charset import sign
from wizard.screens.text.wrapping import wrapped

STYLES = {
    SignalWord.DANGER: "bold reverse $danger",
    SignalWord.WARNING: "bold reverse $warning",
    SignalWord.CAUTION: "bold underline $caution",
    SignalWord.NOTICE: "italic $notice",
}
"""They differ in form too, for screens without colour: two signs on a ground, one on a ground, a line, neither."""


def signal(word: SignalWord) -> str:
    """The word with the alert sign; the gravest has two, a notice none, since it is not about injury."""
    mark = "" if word is SignalWord.NOTICE else f"{sign('▲')} "
    behind = f"{sign('▲')} " if word is SignalWord.DANGER else ""
    return f" {mark}{word.upper()} {behind}"


def caution_lines(cautions: Sequence[Caution], width: int) -> list[Content]:
    """The cautions as lines, the gravest first; each text hangs behind its signal word, or under it when narrow."""
    lines: list[Content] = []
    for caution in sorted(cautions, key=lambda c: tuple(SignalWord).index(c.word)):
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
