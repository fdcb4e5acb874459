"""A knock each turn: a short blow at one angle of the drum, told from chance by turning each turn at random."""

from __future__ import annotations

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.figures.turn_profile import above_orders, by_angle, envelope
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

_BLOCK = 100  # turns: so long the phase of the course holds
_TRIES = 499
_CHANCE = 0.005
_LEAST = 0.3  # of the envelope's level
_LOPSIDED = 1.8  # as far above the middle as below it: a knock is short, a beat is not
_SEED = 20  # the permutations of one recording are the same each time


def turn_knock(signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch) -> SpinFigure:
    """Return whether it knocks once a turn in the spin, and how high over the noise between."""
    kind = FigureKind.KNOCK
    top = float(np.nanmedian(course.speed_at(np.linspace(stretch.start, stretch.end, 50))))
    above = above_orders(signal, top)
    if above is None:
        return refused(kind, "1", f"A knock each turn can't be told at {signal.rate:.0f} readings a second.")
    if signal.levelled:
        why = (
            "The phone's gain changed by itself: it may make a knock each turn, or hide one, so none is told."
        )
        return refused(kind, "1", why)
    size = envelope(signal, above)
    profile = by_angle(signal, course, stretch, size)
    if profile is None:
        return refused(kind, "1", "The spin has too few whole turns to tell a knock each turn.")
    level = _level(signal, profile, size)
    height, lopsided, chance = knock_in(profile, level)
    present = chance < _CHANCE and height > _LEAST and lopsided > _LOPSIDED
    says = f"In the spin it knocks once a turn, {1 + height:.1f} times as loud as between."
    if not present:
        says = "In the spin no knock once a turn stands out."
    by = f"the envelope by angle against {_TRIES} turnings of each turn at random (chance {chance:.3f})"
    spread = float(np.std(profile)) / level / np.sqrt(len(profile))
    return SpinFigure(kind, height, spread, "1", says, by, present=present)


def _level(signal: RecordedSignal, profile: Array, size: Array) -> float:
    """Return the level of the envelope that a knock is set against; of a sound, whose envelope has none, over its
    quietest.
    """
    return float(np.median(profile) - min(0.0, float(np.quantile(size, 0.01)))) or 1e-30


def knock_in(profile: Array, level: float) -> tuple[float, float, float]:
    """Return height over ``level``, how lopsided the mean turn is, and the chance that turns in no order give as much.

    ``profile`` shape (turns, angles). The null turns each turn by an angle of its own.
    """
    blocks = [profile[n : n + _BLOCK] for n in range(0, len(profile), _BLOCK)]
    blocks = [block for block in blocks if len(block) >= 10]
    flat = [block - np.median(block, axis=1, keepdims=True) for block in blocks]
    means = [block.mean(axis=0) for block in flat]
    found = _height(means)
    rng = np.random.default_rng(_SEED)
    angles = profile.shape[1]
    more = 0
    steps = np.arange(angles)
    for _ in range(_TRIES):
        turned = []
        for block in flat:
            shift = rng.integers(0, angles, len(block))[:, None]
            turned.append(np.take_along_axis(block, (steps + shift) % angles, axis=1).mean(axis=0))
        more += _height(turned) >= found
    best = max(means, key=lambda mean: float(mean.max() - np.median(mean)))
    above, below = float(best.max() - np.median(best)), float(np.median(best) - best.min())
    return found / level, above / max(below, 1e-30), (1 + more) / (1 + _TRIES)


def _height(means: list[Array]) -> float:
    """Return how far the mean turns rise above their middle, in the mean over blocks."""
    return float(np.mean([mean.max() - np.median(mean) for mean in means])) if means else 0.0
