"""The free decay in a recording: where a released tub swings out, and what its fit says."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np

from wizard.domain.measure_vocabulary import MotionQuantity
from wizard.measure.damping import ringdown, settling
from wizard.measure.damping.decay_fit import middle_frequency
from wizard.measure.damping.decay_model import Array, stop_of, velocity
from wizard.measure.damping.ringdown import Ringdown
from wizard.measure.damping.settling import Settling
from wizard.measure.vibration.recording_columns import Column, along
from wizard.measure.vibration.recording_file import Recording

_SLOWEST = 0.6  # Hz; slower is drift, or the hand
_STANDS_OUT = 4.0  # times the noise
_OVER = 3.0  # times the noise: where it is over
_AGAIN = 1.35  # grows by so much: pushed again
_FINE = 40  # readings a swing are enough
_KNOCK = 8  # this part of a swing is left to the knock of letting go
_LOUD = 0.3  # of the largest swing: less than this for ...
_HELD = 0.3  # ... this part of a swing is the quiet before letting go
_BACK = 2  # so many swings before the largest it is looked for
_POINTS = 96
_NEIGHBOURS = (1 / 16, 1 / 8, 1 / 4)  # of a swing: starts that it is fitted from too
_APART = 2.5  # neighbours share most readings: so often their distance counts (tests/bench/study_ringdown)
_SCALE = 0.01  # of the ratio: a phone's sensor is off in its scale by so much (common practice)
_VAGUE, _VAGUE_LEAST = 0.25, 0.02  # an uncertainty beyond this share of the ratio, and this, is no answer
_LONGEST_GAP = 20  # times as long as its readings would be with none missing
_FEWEST = 8  # readings of a decay
_WHOLE = 0.75  # of a swing, from where it is fitted; letting go lies an eighth earlier


@dataclass(frozen=True, slots=True)
class Decay:
    """A stretch of a recording, from reading ``start`` to before ``end``, and the ``period`` of its swings, s."""

    start: int
    end: int
    period: float


@dataclass(frozen=True, slots=True, eq=False)
class DecayReport:
    """What a decay says: its fit (lengths in m), how the tub settles, and up to 96 points (s, and m or m/s2) of what
    was fitted, to draw. ``drift``: what was taken off, m or m/s2 a second.
    """

    decay: Decay
    quantity: MotionQuantity
    fit: Ringdown
    settles: Settling
    times: tuple[float, ...]
    values: tuple[float, ...]
    drift: float


def find(recording: Recording, column: int = 0) -> Decay:
    """Return the free decay of a column: from letting go on, until it is lost in the noise or pushed again.

    It begins with the first swing out of the quiet before its largest; with the largest where no quiet is before it.
    What was clipped comes before it. ValueError naming ``recording`` if no swing stands out.
    """
    with _computed():
        taken = recording.columns[column]
        found = _found(recording, taken)
        if taken.parts:
            # Again along the axis of what swings freely: the whole may vary more by the hand.
            found = _found(recording, _along(taken, found))
        return found


def _along(taken: Column, decay: Decay) -> Column:
    """Return a column as it is; one made of several axes, along that on which they swing in the decay."""
    return along(taken.parts, slice(decay.start, decay.end)) if taken.parts else taken


@contextmanager
def _computed() -> Iterator[None]:
    """ValueError naming ``recording`` where its numbers can't be computed with, whatever a file may hold."""
    try:
        with np.errstate(over="raise", invalid="raise", divide="raise"):
            yield
    except (ArithmeticError, IndexError) as problem:
        text = "holds numbers that no swing gives, so nothing can be told of it"
        raise ValueError(f"recording: {text}. Choose another column, or record again") from problem


def _found(recording: Recording, taken: Column) -> Decay:
    step = float(np.median(np.diff(recording.time)))
    if recording.seconds > _LONGEST_GAP * step * len(recording.stamps):
        raise ValueError("recording: is mostly a gap in its times. Cut out the part with the swings")
    even = np.arange(0.0, recording.seconds, step)
    level = np.interp(even, recording.time, taken.si)
    clipped = np.flatnonzero(taken.clipped)
    first = int(recording.time[clipped[-1]] / step) + 1 if len(clipped) else 0
    moving = np.gradient(level) if taken.quantity is MotionQuantity.DISPLACEMENT else level
    period = 1.0 / _loudest(level - float(np.median(level)), step, taken.quantity)
    begins, last = _stretch(level, moving, first, max(4, round(period / step)))
    # Again by the period of what swings freely: the loudest of the whole may be the hand's.
    period = math.tau / middle_frequency(even[begins:last] - even[begins], moving[begins:last])
    count = max(4, round(period / step))
    begins, last = _stretch(level, moving, first, count)
    begins = min(begins + count // _KNOCK, len(even) - 1)
    start, end = (int(np.searchsorted(recording.time, even[min(n, len(even) - 1)])) for n in (begins, last))
    end = min(max(end, start + _FEWEST), len(recording.time))
    if end - start < _FEWEST:
        raise ValueError("recording: ends as the swings begin. Press the tub, let go, and record 5 s more")
    return Decay(start, end, period)


def _stretch(level: Array, moving: Array, first: int, count: int) -> tuple[int, int]:
    """Return where swings of about ``count`` readings begin and end, after ``first``; ``moving`` as in
    ``_let_go``.
    """
    if len(level) <= count:
        raise ValueError("recording: is shorter than a swing. Press the tub, let go, and record 5 s more")
    swing = _smooth(level, max(1, count // 5)) - _smooth(level, count)
    height = _highest(np.abs(swing), count)
    noise = _quiet(swing, count)
    if first >= len(swing) - count or float(np.abs(swing[first:]).max()) < _STANDS_OUT * noise:
        raise ValueError("recording: no swing stands out of it. Press the tub, let go, and record 5 s more")
    top = first + int(np.argmax(np.abs(swing[first:])))
    return _let_go(moving, first, top, count), _over(height, top, count, noise)


def moved(recording: Recording, decay: Decay, start: int = 0, end: int = 0) -> Decay:
    """Return the decay with its start or end moved by so many quarter swings, within the recording, a swing long at
    least.
    """
    time, step = recording.time, 1 / recording.rate

    def shifted(index: int, by: int) -> int:
        if not by:
            return index
        at = float(time[min(index, len(time) - 1)]) + by * decay.period / 4
        return int(np.clip(np.searchsorted(time, at - step / 2), 0, len(time)))

    begins, ends = shifted(decay.start, start), shifted(decay.end, end)
    if ends - begins < _FEWEST or time[ends - 1] - time[begins] < 0.9 * decay.period:
        return decay
    return replace(decay, start=begins, end=ends)


def decay_report(recording: Recording, column: int, decay: Decay) -> DecayReport:
    """Return the fit of a decay: drift taken off, thinned to what a swing needs, lengths in m.

    It is fitted from neighbouring starts too, up to a quarter of a swing later, and each ``_u`` is widened by how far
    the fits lie apart. ValueError naming ``acceleration`` or ``displacement`` where it is no free decay (see
    ``ringdown.fit``), the tub stays before it has swung once, or the fits don't agree.
    """
    with _computed():
        return _report(recording, column, decay)


def _report(recording: Recording, column: int, decay: Decay) -> DecayReport:
    taken = _along(recording.columns[column], decay)
    chosen = slice(decay.start, decay.end)
    time, values = recording.time[chosen], taken.si[chosen]
    drift = _drift(recording, taken.si, decay)
    values = values - drift * (time - time[0])
    time, values = _thinned(time, values, decay.period)
    found = _fitted(taken.quantity, time, values)
    _swings_once(taken.quantity, found, float(time[-1] - time[0]))
    firsts = [int(np.searchsorted(time, time[0] + part * decay.period)) for part in _NEIGHBOURS]
    fits = [found, *(_fitted(taken.quantity, time[n:], values[n:]) for n in firsts)]
    wide, settles = _widened(fits)
    if settles.damping_ratio_u > _VAGUE * settles.damping_ratio + _VAGUE_LEAST:
        raise ValueError(f"{taken.quantity}: is told otherwise from each start, so its damping can't be told")
    picked = np.unique(np.linspace(0, len(time) - 1, min(len(time), _POINTS)).round().astype(int))
    return DecayReport(
        decay, taken.quantity, wide, settles,
        tuple(float(t) for t in time[picked]), tuple(float(v) for v in values[picked]), drift,
    )  # fmt: skip


def _fitted(quantity: MotionQuantity, time: Array, values: Array) -> Ringdown:
    """Return the fit of a stretch of a column."""
    made = ringdown.fit_acceleration if quantity is MotionQuantity.ACCELERATION else ringdown.fit
    return made(time, values)  # type: ignore[arg-type]


def _swings_once(quantity: MotionQuantity, found: Ringdown, seconds: float) -> None:
    """Raise a ValueError naming the quantity if the tub stays, by its fit, before a whole swing is over."""
    if stop_of(found.swing, seconds) is None:
        return
    when = np.linspace(0.0, seconds, 2000)
    moves = when[velocity(found.swing, when) != 0.0]
    if not len(moves) or float(moves[-1]) * found.frequency < _WHOLE:
        raise ValueError(
            f"{quantity}: shows less than a whole swing before the tub stays, so its damping can't be told"
        )


def _widened(fits: list[Ringdown]) -> tuple[Ringdown, Settling]:
    """Return the first fit and how it settles, each uncertainty widened by how far the ``fits`` lie apart."""
    best, settled = fits[0], [settling.after_push(fit) for fit in fits]

    def wider(own: float, each: list[float]) -> float:
        return math.hypot(own, _APART * (max(each) - min(each)))

    wide = replace(
        best,
        frequency_u=wider(best.frequency_u, [fit.frequency for fit in fits]),
        damping_ratio_u=wider(best.damping_ratio_u, [fit.damping_ratio for fit in fits]),
    )
    ratio_u = wider(settled[0].damping_ratio_u, [each.damping_ratio for each in settled])
    return wide, replace(settled[0], damping_ratio_u=math.hypot(ratio_u, _SCALE * settled[0].damping_ratio))


def _loudest(level: Array, step: float, quantity: MotionQuantity) -> float:
    """Return the frequency of the loudest swing, Hz; accelerations weighed as velocities, so that knocks count
    less.
    """
    power = np.abs(np.fft.rfft(level * np.hanning(len(level)), 4 * len(level)))
    frequency = np.fft.rfftfreq(4 * len(level), step)
    power = power / np.maximum(frequency, 1e-9) if quantity is MotionQuantity.ACCELERATION else power
    band = (frequency >= max(_SLOWEST, 2 / (len(level) * step))) & (frequency <= 0.25 / step)
    if not band.any():
        raise ValueError(
            "recording: too short, or read too slowly, to show a swing. Record for 3 s or longer"
        )
    return float(frequency[band][int(np.argmax(power[band]))])


def _smooth(values: Array, count: int) -> Array:
    """Return the running mean of ``count`` values, the edges by what there is."""
    from scipy.ndimage import uniform_filter1d  # late: scipy takes long to load

    smoothed: Array = uniform_filter1d(values, count, mode="nearest")
    return smoothed


def _highest(values: Array, count: int) -> Array:
    """Return the running maximum of ``count`` values."""
    from scipy.ndimage import maximum_filter1d  # late: scipy takes long to load

    highest: Array = maximum_filter1d(values, count, mode="nearest")
    return highest


def _quiet(swing: Array, count: int) -> float:
    """Return the rms of the quietest tenth of the recording, by swings; 0 where it is never quiet."""
    running = np.sqrt(np.maximum(_smooth(swing**2, count), 0.0))
    inner = running[count // 2 : -(count // 2) or None]
    quiet, loud = float(np.quantile(inner, 0.1)), float(np.abs(swing).max())
    return quiet if quiet < 0.1 * loud else 0.0


def _let_go(moving: Array, first: int, top: int, count: int) -> int:
    """Return where the swings come out of the quiet before ``top``, or ``top`` where no quiet is before it.

    ``moving``: accelerations, which leap at letting go, or velocities. The largest swing is often the second: by then
    friction and amplitude can't be told apart.
    """
    size = np.abs(_smooth(moving - float(np.median(moving)), max(1, count // 8)))
    least = max(first, top - _BACK * count)
    loud = np.flatnonzero(size[least : top + 1] >= _LOUD * float(size[least : top + count // 2].max()))
    if not len(loud):
        return top
    edges = np.concatenate([[-1], loud])
    quiet = np.flatnonzero(np.diff(edges) > _HELD * count)
    return least + int(loud[quiet[-1]]) if len(quiet) else top


def _over(height: Array, top: int, count: int, noise: float) -> int:
    """Return where the swings after ``top`` are over, with one swing's length of quiet; or begin anew."""
    least = math.inf
    for n in range(top + count // 2, len(height)):
        if height[n] > _AGAIN * least and height[n] > _OVER * noise:
            return max(top + count, n - count)
        least = min(least, float(height[n]))
        if least < _OVER * noise:
            return _still(height, n, n + count, noise)
    return len(height)


def _still(height: Array, start: int, end: int, noise: float) -> int:
    """Return the end of the quiet from ``start``, ``end`` at most."""
    loud = np.flatnonzero(height[start:end] > _STANDS_OUT * noise)
    return start + int(loud[0]) if len(loud) else min(end, len(height))


def _drift(recording: Recording, values: Array, decay: Decay) -> float:
    """Return the slope of the quiet after the decay, a second, if it is beyond doubt and matters; else 0."""
    time = recording.time
    after = slice(decay.end, int(np.searchsorted(time, time[decay.end - 1] + 5.0)))
    when, rest = time[after], values[after]
    if len(when) < 16 or when[-1] - when[0] < 2 * decay.period:
        return 0.0
    middle = when - when.mean()
    slope = float(middle @ rest / (middle @ middle))
    off = rest - rest.mean() - slope * middle
    doubt = math.sqrt(float(off @ off) / (len(off) - 2) / float(middle @ middle))
    whole = float(np.ptp(values[decay.start : decay.end]))
    length = float(time[decay.end - 1] - time[decay.start])
    swings = float(np.ptp(off)) > 0.2 * whole
    return slope if not swings and abs(slope) > 5 * doubt and abs(slope) * length > 0.02 * whole else 0.0


def _thinned(time: Array, values: Array, period: float) -> tuple[Array, Array]:
    """Return means of as many readings as leave 40 a swing."""
    step = float(np.median(np.diff(time)))
    each = max(1, int(period / step / _FINE))
    count = len(time) // each * each
    if each == 1:
        return time, values
    return time[:count].reshape(-1, each).mean(axis=1), values[:count].reshape(-1, each).mean(axis=1)
