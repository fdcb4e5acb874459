"""Bars and debts in words, for the map and for whoever asks why something can't be done."""

from __future__ import annotations

import textwrap

from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.review.standing import standing_bars, standing_debts


def standing_lines(flow: Flow, state: State, width: int, room: int) -> list[str]:
    """What is forbidden and what is owed, a sentence each, in at most ``room`` lines of ``width``."""
    said = [f"Must not {_acts(b.forbids)}: {b.says}" for b in standing_bars(flow, state)]
    said += [f"Owed: {d.says}" for d in standing_debts(flow, state)]
    lines = [line for text in said for line in textwrap.wrap(text, width, subsequent_indent="  ")]
    if len(lines) <= room:
        return lines
    shown, used = 0, 0
    for text in said:
        used += len(textwrap.wrap(text, width, subsequent_indent="  "))
        if used > room - 1:
            break
        shown += 1
    kept = [line for text in said[:shown] for line in textwrap.wrap(text, width, subsequent_indent="  ")]
    return [*kept, f"and {len(said) - shown} more: f shows all"]


def _acts(forbids: tuple[str, ...]) -> str:
    words = {"spin": "spin", "water": "let water in", "energised": "be powered"}
    return " or ".join(words.get(f, f) for f in forbids)
