"""How the machine stands for the hands, in a box always in sight; a sign stands with it, so colour only helps."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from wizard.engine.queries.machine_view import Badge
from wizard.screens.text.charset import sign

HANDS_OUT = "HANDS OUT"
"""Said at once when something that the step on screen needs may no longer be so."""

WIDTH = 34
"""Columns of its words; a condition more than fits is left to the panel that shows all."""

OUTER = WIDTH + 8
"""Columns of the widest box: its words, the sign before them, a space on either side, padding and border."""


NOT_KNOWN, DOUBT = " NOT KNOWN", "?"
"""What stands behind a noun, and its sign where there is no room for the words."""


def badge_words(badge: Badge) -> str:
    """'POWER HELD, TRIED, DRUM STILL', as many as fit; HANDS OUT before all else.

    A program that may go on is named beside HANDS OUT where it comes next to the power: 'HANDS OUT, SUPPLY?, MAY RUN'.
    """
    lines = _fitting(badge, badge.words)
    if badge.hands_out and badge.going and badge.words[1:2] == (badge.going,) and badge.going not in lines:
        short = _fitting(badge, (badge.words[0].replace(NOT_KNOWN, DOUBT), badge.going))
        lines = short if badge.going in short else _fitting(badge, (badge.going,))
    return ", ".join(lines) or "NOTHING KNOWN"


def _fitting(badge: Badge, each: tuple[str, ...]) -> list[str]:
    """As many of these words as fit, in their order."""
    lines = [HANDS_OUT] if badge.hands_out else []
    for words in each:
        if lines and len(", ".join([*lines, words])) > WIDTH:
            break
        lines.append(words)
    return lines


def badge_content(badge: Badge) -> Content:
    """The sign and the words."""
    if badge.stopped or badge.hands_out:
        mark, style = "✗", "bold $error reverse"
    elif badge.live:
        mark, style = "▲", "bold $warning"
    else:
        mark, style = "■", "bold $success"
    return Content.styled(f" {sign(mark)} {badge_words(badge)} ", style)


class SafetyBox(Static):
    """The box. Its border is heavy where no power can come on, double where hands must be out."""

    DEFAULT_CSS = """
    SafetyBox { width: auto; height: 3; border: round $rule; padding: 0 1; }
    SafetyBox.-held { border: heavy $success; }
    SafetyBox.-live { border: double $error; }
    SafetyBox.-plain { border: ascii $rule; }
    """

    def show(self, badge: Badge) -> None:
        """Show how the machine stands."""
        self.set_class(not (badge.live or badge.stopped or badge.hands_out), "-held")
        self.set_class(badge.stopped or badge.hands_out, "-live")
        self.set_class(sign("▲") == "!", "-plain")
        self.update(badge_content(badge))
