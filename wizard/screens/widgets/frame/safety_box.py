"""How the machine stands for the hands, in a box always in sight; a sign stands with it, so colour only helps."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from wizard.engine.queries.machine_view import Badge
from wizard.screens.text.badge_text import WIDTH, badge_words
from wizard.screens.text.charset import sign

FRAME = 8
"""Columns round the words: the sign before them, a space on either side, padding and border."""

OUTER = WIDTH + FRAME
"""Columns of the widest box."""


def columns_of(badge: Badge) -> int:
    """Columns of the box as it stands."""
    return len(badge_words(badge)) + FRAME


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
