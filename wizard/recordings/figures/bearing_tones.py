"""What a bearing's defects would beat, in the envelope of a sound by the drum's angle."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.measure.mechanics.bearing_geometry import bearing_of
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.figures.turn_profile import by_angle
from wizard.recordings.reading.recorded_signal import Array, Mask, RecordedSignal

SLIP = 0.02
"""How much slower a bearing's tones may be than without slip (Randall and Antoni 2011, from memory: 1 to 2 %)."""

SHORT = {"outer ring": "BPFO", "inner ring": "BPFI", "balls": "twice BSF", "cage": "FTF"}
"""Part -> what the trade calls its order."""

_BLOCK = 40  # turns
_HARMONICS = 3
_CHANCE = 1e-4
_FIRST, _SECOND = 1e-3, 0.05  # of the tone itself, and of another multiple
_BESIDE = 0.6  # orders to each side
_WHOLE = 0.06  # orders round whole numbers, which are the drum's own
_SEEN = 0.5  # of where a tone may lie: less, and nothing there is no silence


def welch_freedom(blocks: int) -> float:
    """Return the degrees of freedom of a mean of so many spectra, Hann, half overlapped: 36 K^2 / (19 K - 1) (Welch's
    method; Percival and Walden, from memory).
    """
    return 36 * blocks**2 / (19 * blocks - 1)


def bearing_tones(
    signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch, designation: str
) -> list[SpinFigure]:
    """Return for each defect of a bearing whether the sound's envelope beats at its order in the spin.

    ``designation`` as ``bearing_of`` takes it.
    """
    kind, bearing = FigureKind.BEARING_TONE, bearing_of(designation)
    orders = bearing.orders
    if signal.kind is SignalKind.MOTION:
        return [
            refused(kind, "1", "A phone's motion sensor can't hear a bearing. Record the sound of the spin.")
        ]
    profile = by_angle(signal, course, stretch, signal.values[:, 1])
    if profile is None or len(profile) < 2 * _BLOCK:
        return [refused(kind, "1", f"A bearing's tones need {2 * _BLOCK} whole turns of spin or more.")]
    spectrum, at, blocks = order_spectrum(profile)
    parts = {
        "outer ring": orders.outer, "inner ring": orders.inner, "balls": 2 * orders.element, "cage": orders.cage
    }  # fmt: skip
    found = {part: tone_in(spectrum, at, order, blocks) for part, order in parts.items()}
    free: Mask = np.ones(len(at), dtype=bool)
    for part in sorted(found, key=lambda part: -found[part][0]):
        found[part] = tone_in(spectrum, at, parts[part], blocks, free)
        if found[part][2] < _CHANCE:
            free = free & ~_multiples(at, found[part][1])
    return [
        _hidden(part, order, bearing.name)
        if found[part][2] >= _CHANCE and seen_of(at, order) < _SEEN
        else _figure(part, order, *found[part], bearing.name)
        for part, order in parts.items()
    ]


def seen_of(at: Array, order: float) -> float:
    """Return which share of where a tone may lie, by its slip, isn't taken by the drum's own orders."""
    near = (at >= order * (1 - SLIP)) & (at <= order)
    return float(np.mean(np.abs(at[near] - np.round(at[near])) > _WHOLE)) if near.any() else 1.0


def _hidden(part: str, order: float, name: str) -> SpinFigure:
    """Return what is told of a part whose tone would lie on an order of the drum."""
    why = (
        f"Whether the {part} of a {name} beats can't be told: with its slip {SHORT[part]} ({order:.3f} times a turn) "
        f"lies on the drum's own order {round(order * (1 - SLIP / 2))}."
    )
    return refused(FigureKind.BEARING_TONE, "1", why)


def any_bearing(
    signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch, designations: tuple[str, ...]
) -> SpinFigure:
    """Return whether the sound beats as any of several bearings would: one figure, where nobody read its number.

    Which of them it is, is not told: their orders lie close. ``designations`` as ``bearing_tones`` takes one.
    """
    if signal.kind is SignalKind.MOTION:
        return bearing_tones(signal, course, stretch, designations[0])[0]
    found = {name: bearing_tones(signal, course, stretch, name) for name in designations}
    every = [figure for figures in found.values() for figure in figures]
    heard = [figure for figure in every if figure.present]
    if not heard:
        looked = [figure for figure in every if figure.present is False]
        if not looked:
            return every[0]
        says = f"Nothing beats as a bearing with a defect would (tried: {', '.join(designations)})"
        says += "; a tone on an order of the drum isn't told." if len(looked) < len(every) else "."
        return SpinFigure(FigureKind.BEARING_TONE, None, 0.0, "1", says, looked[0].known_by, present=False)
    best = heard[0]
    names = ", ".join(name for name, figures in found.items() if any(f.present for f in figures))
    says = f"The sound beats {best.value:.3f} times a turn, as a bearing with a defect would ({names})."
    return SpinFigure(
        FigureKind.BEARING_TONE, best.value, best.uncertainty, "1", says, best.known_by, present=True
    )


def _multiples(at: Array, order: float) -> Mask:
    """Return which orders are multiples of a tone that was found, or lie a turn beside them: they tell of no other."""
    near: Mask = np.zeros(len(at), dtype=bool)
    for side in (-1.0, 0.0, 1.0):
        harmonic = np.round((at - side) / order)
        near |= (harmonic >= 1) & (np.abs(at - side - harmonic * order) <= 1.5 * at[1] + 0.002 * at)
    return near


def order_spectrum(profile: Array) -> tuple[Array, Array, int]:
    """Return power by order, the orders, and how many blocks of 40 turns were taken in (Hann, half overlapped)."""
    angles = profile.shape[1]
    values = (profile - profile.mean(axis=1, keepdims=True).mean()).ravel()
    count = _BLOCK * angles
    window = np.hanning(count + 1)[:-1]
    starts = range(0, len(values) - count + 1, count // 2)
    pieces = [(values[s : s + count] - values[s : s + count].mean()) * window for s in starts]
    power = np.mean([np.abs(np.fft.rfft(piece)) ** 2 for piece in pieces], axis=0)
    return power, np.fft.rfftfreq(count, 1 / angles), len(pieces)


def tone_in(
    power: Array, at: Array, order: float, blocks: int, free: Mask | None = None
) -> tuple[float, float, float]:
    """Return how far the strongest line near an order and its multiples stands out (times what is beside, in the first
    that does), the order at which it does, and the chance of that. ``free``: orders that may be looked at.
    """
    from scipy.stats import chi2  # late: scipy takes long to load

    freedom, ratios, places, chances, first = welch_freedom(blocks), [], [], [], 1.0
    for harmonic in range(1, _HARMONICS + 1):
        middle = harmonic * order
        near = (at >= middle * (1 - SLIP) - at[1]) & (at <= middle * (1 + SLIP / 4) + at[1])
        near &= np.abs(at - np.round(at)) > _WHOLE
        near &= True if free is None else free
        beside = (
            (np.abs(at - middle) < _BESIDE * max(1.0, order / 2))
            & ~near
            & (np.abs(at - np.round(at)) > _WHOLE)
        )
        if not near.any() or beside.sum() < 5:
            continue
        floor = float(np.median(power[beside])) * freedom / float(chi2.median(freedom))
        peak = int(np.flatnonzero(near)[np.argmax(power[near])])
        ratio = float(power[peak]) / max(floor, 1e-300)
        ratios.append(ratio)
        places.append(float(at[peak]) / harmonic)
        chances.append(min(1.0, float(near.sum() / 1.5) * float(chi2.sf(ratio * freedom, freedom))))
        if harmonic == 1:
            first = chances[-1]
    if not ratios:
        return 1.0, order, 1.0
    best = int(np.argmin(chances))
    others = [chance for n, chance in enumerate(chances) if n != best]
    second = min(others, default=1.0)
    sure = second < _SECOND and first < _FIRST
    return ratios[best], places[best], chances[best] if sure else 1.0


def _figure(part: str, order: float, ratio: float, place: float, chance: float, name: str) -> SpinFigure:
    """Return what is told of one part."""
    present = chance < _CHANCE
    what = f"the {part} of a {name} would with a defect"
    says = (
        f"The sound beats {place:.3f} times a turn, as {what} ({SHORT[part]} {order:.3f}, a slip of "
        f"{max(0.0, 100 * (1 - place / order)):.1f} %), {10 * math.log10(ratio):.0f} dB over what is beside."
        if present
        else f"Nothing beats as {what} ({SHORT[part]}, {order:.3f} times a turn)."
    )
    by = "envelope by angle, mean of spectra over 40 turns, a slip of up to 2 %"
    return SpinFigure(
        FigureKind.BEARING_TONE, place if present else None, SLIP * order / 4, "1", says, by, present=present
    )
