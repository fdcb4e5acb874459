"""How the machine stands for the hands, in the few words of the badge."""

from __future__ import annotations

from wizard.engine.queries.machine_view import Badge

HANDS_OUT = "HANDS OUT"
"""Said at once when something that the step on screen needs may no longer be so."""

WIDTH = 34
"""Columns of its words; a condition more than fits is left to the panel that shows all."""

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
