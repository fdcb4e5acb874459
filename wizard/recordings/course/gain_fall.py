"""Whether a phone turned its gain down while the machine grew louder: what hardly grows is quieter in the spin then
than before and after it, which no machine does to a room.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from wizard.domain.recording_vocabulary import SpinPhase
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.reading.recorded_signal import Array, SoundFrames

FELL = (
    "Parts of the sound grow quieter while the machine grows louder, as an automatic gain makes it: levels are not "
    "compared."
)
"""What is said of it."""

_LOWEST, _HIGHEST = 20.0, 0.45  # Hz; of the rate
_BANDS = 21
_BETWEEN = 0.25  # of a band's lines: between tones
_MOST, _NEXT = (
    3.0,
    2.0,
)  # dB by which a band falls, and another: rooms hold within 2 (an estimate)
_EDGE, _FEWEST, _END = 0.5, 4, 4.5  # s; frames; s
_SLOW = (SpinPhase.REST, SpinPhase.TUMBLE)


def gain_fell(
    frames: SoundFrames, stretches: tuple[PhaseStretch, ...], spin: PhaseStretch, rate: float
) -> bool:
    """Return whether two bands or more are quieter in the spin than at both ends of the recording, or in its only rest.

    The ends count as they are, if no drum turns fast there: by such a gain a rest is hardly quieter than a tumble.
    ``rate`` of the file, a second. A gain that nothing but the machine itself is heard through isn't seen so.
    """
    first, last = stretches[0], stretches[-1]
    ends = [
        PhaseStretch(first.phase, first.start, min(first.start + _END, first.end)),
        PhaseStretch(last.phase, max(last.end - _END, last.start), last.end),
    ]
    slow = [end for end in ends if end.phase in _SLOW]
    alone = [end for end in slow if end.phase is SpinPhase.REST]
    found = [_levels(frames, end, rate) for end in (slow if len(slow) > 1 else alone)]
    quiet = [level for level in found if level is not None]
    loud = _levels(frames, spin, rate)
    if not quiet or loud is None:
        return False
    falls = np.sort(np.min(quiet, axis=0) - loud)
    return bool(falls[-1] >= _MOST and falls[-2] >= _NEXT)


def _levels(frames: SoundFrames, stretch: PhaseStretch, rate: float) -> Array | None:
    """Return what lies between the tones of each band, dB, shape (bands,); None of a stretch with too few frames."""
    at = (np.arange(len(frames.power)) + 0.5) * frames.seconds
    power = frames.power[(at >= stretch.start + _EDGE) & (at < stretch.end - _EDGE)].astype(np.float64)
    if len(power) < _FEWEST:
        return None
    edges = np.geomspace(_LOWEST, _HIGHEST * rate, _BANDS + 1)
    inside = [(frames.frequencies >= low) & (frames.frequencies < high) for low, high in pairwise(edges)]
    bands = [np.quantile(power[:, band], _BETWEEN, axis=1) for band in inside if band.sum() > 1]
    return np.array([float(np.median(10 * np.log10(band + 1e-20))) for band in bands])
