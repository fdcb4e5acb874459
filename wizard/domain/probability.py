"""How a probability is written, wherever it stands: on a screen, on a paper, in the advice, in a flag."""

from __future__ import annotations

LEAST, MOST = 0.01, 0.99
"""Below and above these only the side is said."""


def percent(probability: float) -> str:
    """'41 %'; never 0 or 100, which nobody can know."""
    if probability < LEAST:
        return "<1 %"
    if probability > MOST:
        return ">99 %"
    return f"{probability * 100:.0f} %"
