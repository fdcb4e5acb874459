"""Whether a sound's gain changes by itself: it dips after each loud knock."""

from __future__ import annotations

import numpy as np

from wizard.recordings.reading.recorded_signal import Array, SoundFrames

_KNOCK = 10.0  # dB over the median of the seconds round it
_DIP = 3.0  # dB
_FEWEST = 3
_BEFORE, _AFTER = (-1.5, -0.5), (0.25, 1.0)  # s from the knock
_BAND = (300.0, 3000.0)


def levels(frames: SoundFrames, low: float = _BAND[0], high: float = _BAND[1]) -> Array:
    """Return the level of a band in each frame, dB against full scale, shape (frames,)."""
    chosen = (frames.frequencies >= low) & (frames.frequencies < high)
    power = frames.power[:, chosen].sum(axis=1, dtype=np.float64)
    return np.asarray(10 * np.log10(power + 1e-20))


def dips(frames: SoundFrames) -> bool:
    """Return whether the sound dips by 3 dB or more after most of three or more loud knocks."""
    from scipy.ndimage import median_filter  # late: scipy takes long to load

    level = levels(frames)
    usual = median_filter(level, 17, mode="nearest")
    loud = np.flatnonzero(level > usual + _KNOCK)
    knocks = [int(n) for n in loud[np.diff(loud, prepend=-9) > 4]]
    drops = []
    for at in knocks:
        before = level[
            max(0, at + round(_BEFORE[0] / frames.seconds)) : at + round(_BEFORE[1] / frames.seconds)
        ]
        after = level[at + round(_AFTER[0] / frames.seconds) : at + round(_AFTER[1] / frames.seconds)]
        if len(before) and len(after):
            drops.append(float(np.median(before) - np.median(after)))
    return len(drops) >= _FEWEST and float(np.median(drops)) >= _DIP
