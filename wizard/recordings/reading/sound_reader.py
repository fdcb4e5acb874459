"""A sound as it is analysed, read a block at a time: what is below 400 Hz, the envelope of what is above, power by time
and frequency. Ten minutes at 48 kHz take some 60 MB.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from wizard.domain.recording_vocabulary import SignalKind
from wizard.foreign import sound_file, video_sound
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import TooLarge
from wizard.foreign.sound_apart import opened_sound
from wizard.foreign.sound_file import SoundHead
from wizard.foreign.video_sound import VideoSound
from wizard.recordings.reading import gain_change
from wizard.recordings.reading.recorded_signal import (
    Array,
    Going,
    RecordedSignal,
    SoundFrames,
    lasts,
)

_SLOW = 1000.0  # values a second that are kept, about
_BELOW = 400.0
_ABOVE = 500.0
FRAME = 0.25
"""How long a frame of power is, s."""

_FULL = 0.999
_SILENT = 1e-7


def read_sound(path: Path, going: Going | None = None) -> RecordedSignal:
    """Return the sound in a WAV, FLAC, OGG or MP3, or that of a video.

    ValueError that begins with the file's name; OSError.
    """
    name = harmless(path.name)
    try:
        video = video_sound.is_video(path)
        with VideoSound(path) if video else opened_sound(path) as file:
            digest = sound_file.digest(path)  # Once its head says that it is no longer than is read.
            reduced = _Reduced(file.head.rate)
            for block in file.blocks():
                reduced.add(block)
                if going and file.head.frames:
                    going(min(1.0, reduced.count / file.head.frames))
            return _signal(name, digest, file.head, reduced, video)
    except TooLarge as problem:
        raise ValueError(f"{name}: {problem}. Cut out the spin.") from None
    except ValueError as problem:
        raise ValueError(f"{name}: {problem}.") from None


class _Reduced:
    """What is kept of a sound while it is read."""

    def __init__(self, rate: int) -> None:
        from scipy.signal import butter  # late: scipy takes long to load

        self.rate, self.count, self.full, self.wrong, self.peak = rate, 0, 0, 0, 0.0
        self.each = max(1, round(rate / _SLOW))
        self._filters = [
            butter(6, _BELOW, "lowpass", fs=rate, output="sos"),
            butter(4, _ABOVE, "highpass", fs=rate, output="sos"),
            butter(4, _BELOW, "lowpass", fs=rate, output="sos"),
        ]
        self._states: list[Any] = [np.zeros((len(sos), 2)) for sos in self._filters]
        self.size = 1 << max(8, int(np.log2(rate * 0.09)))
        self._window = np.hanning(self.size + 1)[:-1]
        self._rest = np.zeros(0)
        self.low: list[Array] = []
        self.envelope: list[Array] = []
        self.power: list[NDArray[np.float32]] = []

    def add(self, block: NDArray[np.float32]) -> None:
        """Take in one more block, shape (frames, channels)."""
        mono = block.mean(axis=1, dtype=np.float64)
        bad = ~np.isfinite(mono)
        if bad.any():
            self.wrong += int(bad.sum())
            mono = np.where(bad, 0.0, mono)
        size = np.nan_to_num(np.abs(block).max(axis=1), posinf=0.0)
        self.full += int(np.sum(size >= _FULL))
        self.peak = max(self.peak, float(size.max(initial=0.0)))
        low = self._pass(0, mono)
        loud = self._pass(2, self._pass(1, mono) ** 2)
        first = -self.count % self.each
        self.low.append(low[first :: self.each].copy())  # else the whole block is kept for its sake
        self.envelope.append(np.sqrt(np.maximum(loud[first :: self.each], 0.0)))
        self.count += len(mono)
        self._frames(mono)

    def _pass(self, which: int, values: Array) -> Array:
        from scipy.signal import sosfilt  # late: scipy takes long to load

        passed: Array
        passed, self._states[which] = sosfilt(self._filters[which], values, zi=self._states[which])
        return passed

    def _frames(self, mono: Array) -> None:
        """Add the mean power of each whole frame; what is left waits for the next block."""
        waiting = np.concatenate([self._rest, mono])
        length = round(self.rate * FRAME)
        whole = len(waiting) // length
        for n in range(whole):
            part = waiting[n * length : (n + 1) * length]
            starts = np.linspace(0, length - self.size, 3 if length > 1.5 * self.size else 1).astype(int)
            pieces = np.stack([part[s : s + self.size] for s in starts]) * self._window
            power = np.abs(np.fft.rfft(pieces, axis=1)) ** 2
            scale = 2.0 / (
                self.size * np.sum(self._window**2)
            )  # so that all frequencies add up to the mean square
            self.power.append((power.mean(axis=0) * scale).astype(np.float32))
        self._rest = waiting[whole * length :]


def _signal(name: str, digest: str, head: SoundHead, reduced: _Reduced, video: bool) -> RecordedSignal:
    seconds = reduced.count / reduced.rate
    lasts(seconds)
    if reduced.wrong:
        raise ValueError(f"{reduced.wrong} of its samples are no numbers. Export it again")
    if reduced.peak < _SILENT:
        raise ValueError("it is silent from end to end. Look at the microphone, and record again")
    if reduced.peak > 100:
        raise ValueError(
            f"its samples go up to {reduced.peak:.2g} times full scale. Export it again, as 16 or 24 bits"
        )
    low, envelope = np.concatenate(reduced.low), np.concatenate(reduced.envelope)
    rate = reduced.rate / reduced.each
    power = np.stack(reduced.power)
    frames = SoundFrames(
        FRAME, np.asarray(np.fft.rfftfreq(reduced.size, 1 / reduced.rate), dtype=np.float64), power
    )
    levelled = video or gain_change.dips(frames)
    return RecordedSignal(
        name=name, sha256=digest, kind=SignalKind.SOUND, rate=rate, file_rate=float(reduced.rate),
        time=np.arange(len(low)) / rate, values=np.column_stack([low - low.mean(), envelope - envelope.mean()]),
        jitter=0.0, gaps=(), calibrated=False, frames=frames,
        doubts=tuple(_doubts(head, reduced, levelled, video, seconds)), levelled=levelled,
    )  # fmt: skip


def _doubts(head: SoundHead, reduced: _Reduced, levelled: bool, video: bool, seconds: float) -> list[str]:
    """Return what can't be told from such a sound."""
    lines = []
    if head.cut:
        lines.append(f"The file ends before its head says: the {seconds:.0f} s that are there are read.")
    if reduced.full > 10:
        share = (
            f"{reduced.full / reduced.count:.2%}"
            if reduced.full / reduced.count >= 1e-4
            else "less than 0.01%"
        )
        lines.append(f"The sound is clipped ({share} of the samples): its peaks are too small.")
    if video:
        lines.append("A video's sound is levelled by the phone itself: levels are not compared.")
    elif levelled:
        lines.append(
            "The sound dips after each loud knock, as an automatic gain makes it: levels are not compared."
        )
    if head.rate < 16000:
        lines.append(
            f"{head.rate} samples a second: squeals above {head.rate / 2000:.1f} kHz can't be heard."
        )
    lines.append("A sound has no scale: it is told in dB against itself, and gives no m/s2.")
    return lines
