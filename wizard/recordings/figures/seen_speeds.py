"""At which speeds a way up or down was seen, and what may be said of a peak that was not found there."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind
from wizard.recordings.figures.run_curve import RunCurve
from wizard.recordings.figures.spin_figure import SpinFigure, refused

TUB_BELOW = 260 / 60
"""Turns a second: tubs bounce at 1.4 to 3.3 Hz (an estimate); feet, floor, and what pitches swing faster."""

_HOLE = 40 / 60  # turns a second between two speeds that were seen: more wasn't seen
_EDGE, _BEYOND = 3, 1.3  # places of a curve; times its middle


def seen_spans(curves: Sequence[RunCurve]) -> list[tuple[float, float]]:
    """Return from which to which speed, turns a second, the curves were seen; speeds that were gone on to left out."""
    each = [curve.speed[curve.speed >= curve.seen_from] for curve in curves]
    speeds = np.sort(np.concatenate(each)) if each else np.zeros(0)
    if not len(speeds):
        return []
    parts = np.split(speeds, np.flatnonzero(np.diff(speeds) > _HOLE) + 1)
    return [(float(part[0]), float(part[-1])) for part in parts]


def no_peak(kind: FigureKind, where: str, curves: Sequence[RunCurve], by: str) -> SpinFigure:
    """Return the figure of no peak, of the speeds that were seen alone; refused where a tub's own weren't, or where it
    swings most at the slowest one.
    """
    spans = seen_spans(curves)
    said = ", and ".join(f"between {60 * low:.0f} and {60 * high:.0f} rpm" for low, high in spans)
    says = f"While {where} no peak stands out {said}. No other speeds are seen."
    if not spans or spans[0][0] >= TUB_BELOW:
        why = f"no speed below {60 * TUB_BELOW:.0f} rpm is seen, where a tub bounces"
        return refused(kind, "rpm", f"While {where} {why}, so its peak isn't told.")
    if falls := next((curve for curve in curves if _falls_from_its_start(curve)), None):
        slowest = 60 * max(float(falls.speed.min()), falls.seen_from)
        why = f"it swings most at the slowest speed that is seen, {slowest:.0f} rpm: its peak may lie below"
        return refused(kind, "rpm", f"While {where} {why}, so it isn't told.")
    return SpinFigure(kind, None, 0.0, "rpm", says, by, present=False)


def _falls_from_its_start(curve: RunCurve) -> bool:
    """Return whether a curve swings most at its slow end, and clearly more than in its middle."""
    swing = curve.swing[np.argsort(curve.speed)]
    return int(np.argmax(swing)) < _EDGE and float(swing[:_EDGE].max()) > _BEYOND * float(np.median(swing))
