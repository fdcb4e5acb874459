"""Dampers pulled on a scale: the drag of one, and how far a pair differs."""

from __future__ import annotations

from wizard.measure.argument_checks import not_negative


def drag(outward: float, inward: float) -> float:
    """Return a damper's drag, N, from pulls both ways: their mean, so that its own weight cancels.

    ValueError naming the argument if negative.
    """
    return (not_negative("outward", outward) + not_negative("inward", inward)) / 2
