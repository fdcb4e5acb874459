"""The drum's speed in the spin, and what shakes once and twice a turn there."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.recordings.course.order_lines import OrderLines, order_lines
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch, levels
from wizard.recordings.figures.plate_check import plate_words
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.reading.recorded_signal import Array, Mask, RecordedSignal

_BLOCK = 2.0  # s
_MARGIN = 0.5  # s left out at either end of a phase
_SCALE = 0.03  # of an amplitude: a phone's sensor, and where it lies (common practice)
_STANDS_OUT = 3.0
_LEAST_U = 0.01  # turns a second


def top_speed(
    course: SpeedCourse, stretch: PhaseStretch, plate: float | None, other: float | None = None
) -> SpinFigure:
    """Return the drum's speed in a spin: its median, and the standard uncertainty of that; held against the ``plate``'s
    top speed. ``other``: what would be taken for it without that. Turns a second.
    """
    inside = (course.at > stretch.start + _MARGIN) & (course.at < stretch.end - _MARGIN)
    inside &= ~np.isnan(course.speed)
    speed = course.speed[inside]
    scatter = float(np.median(np.abs(speed - np.median(speed)))) * 1.4826
    known = math.hypot(_LEAST_U, scatter, float(np.median(course.speed_u[inside])) / 2)
    rpm = 60 * float(np.median(speed))
    says = f"The drum spins at {rpm:.0f} rpm for {stretch.end - stretch.start:.0f} s."
    if plate:
        says += " " + plate_words(rpm, 60 * known, 60 * plate, 60 * other if other else None)
    if not course.sure:
        says += " It might be half or double that" + (
            "." if plate else ": give the plate's top speed to be sure."
        )
    by = "a ridge over its first four orders, then the drift of their phase"
    return SpinFigure(FigureKind.TOP_SPEED, rpm, 60 * known, "rpm", says, by, at=stretch.start, present=True)


def order_figures(signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch) -> list[SpinFigure]:
    """Return the share of the shaking that is once a turn, and twice a turn over once."""
    kinds = (FigureKind.ONCE_A_TURN, FigureKind.TWICE_A_TURN)
    if signal.kind is SignalKind.SOUND:
        return [refused(kind, "1", "A sound doesn't say how the machine shakes.") for kind in kinds]
    at = np.arange(stretch.start + _BLOCK / 2, stretch.end - _BLOCK / 2 + 1e-9, _BLOCK / 2)
    speed = course.speed_at(at)
    at = at[~np.isnan(speed)]
    most = float(np.nanmax(speed)) if len(at) else math.inf
    if len(at) < 3:
        return [refused(kind, "1", "The spin is too short to part its orders.") for kind in kinds]
    if 2 * most > signal.highest:
        return [
            refused(kind, "1", "It was read too slowly to tell twice a turn from once.") for kind in kinds
        ]
    found = order_lines(
        signal.time, signal.values, course.phase(signal.time), at, np.full(len(at), _BLOCK), 2
    )
    good: Mask = np.asarray(np.isfinite(found.noise).all(axis=1))
    if good.sum() < 3:
        return [refused(kind, "1", "The spin has too many gaps to part its orders.") for kind in kinds]
    return [_once(signal, found, good, at), _twice(found, good)]


def _squares(found: OrderLines, good: Mask, order: int) -> Array:
    """Return the squared amplitude of an order, its noise taken off, in each good block."""
    noise = 2 * np.sum(found.noise[good] ** 2, axis=1)
    return np.asarray(np.maximum(found.size(order)[good] ** 2 - noise, 0.0))


def _once(signal: RecordedSignal, found: OrderLines, good: Mask, at: Array) -> SpinFigure:
    """Return the share of the power that is once a turn."""
    whole = np.array([np.mean(levels(signal, np.arange(t - 0.75, t + 0.8, 0.25)) ** 2) for t in at[good]])
    shares = np.minimum(_squares(found, good, 1) / 2 / whole, 1.0)
    share, scatter = float(np.median(shares)), _scatter(shares)
    size = math.sqrt(float(np.median(_squares(found, good, 1))))
    unit = f", {size:.2g} m/s2 to each side" if signal.calibrated else ""
    says = f"In the spin {100 * share:.0f} % of the shaking's power is once a turn{unit}."
    by = "amplitudes in blocks of two seconds, each reading at its own time"
    return SpinFigure(
        FigureKind.ONCE_A_TURN, share, math.hypot(scatter, 0.01), "1", says, by, present=share > 0.5
    )


def _twice(found: OrderLines, good: Mask) -> SpinFigure:
    """Return how large what is twice a turn is against what is once."""
    first, second = np.sqrt(_squares(found, good, 1)), np.sqrt(_squares(found, good, 2))
    noise = float(np.median(np.sqrt(2 * np.sum(found.noise[good] ** 2, axis=1))))
    if float(np.median(first)) < _STANDS_OUT * noise:
        why = (
            "Nothing that turns once a turn stands out in the spin, so twice a turn can't be set against it."
        )
        return refused(FigureKind.TWICE_A_TURN, "1", why)
    ratios = second / np.maximum(first, noise)
    ratio = float(np.median(ratios))
    known = math.hypot(
        _scatter(ratios), _SCALE * ratio, noise / float(np.median(first)) / math.sqrt(len(ratios))
    )
    present = float(np.median(second)) > _STANDS_OUT * noise
    says = f"Twice a turn it shakes {ratio:.2g} times as far as once a turn, as accelerations."
    if not present:
        least = _STANDS_OUT * noise / float(np.median(first))
        says = f"Nothing twice a turn stands out in the spin (below {least:.2g} of once)."
    return SpinFigure(
        FigureKind.TWICE_A_TURN,
        ratio,
        known,
        "1",
        says,
        "the same blocks; a knock each turn adds to it",
        present=present,
    )


def _scatter(values: Array) -> float:
    """Return the standard uncertainty of a median, by the scatter of blocks that overlap by half."""
    spread = 1.4826 * float(np.median(np.abs(values - np.median(values))))
    return 1.25 * spread / math.sqrt(max(1.0, len(values) / 2))
