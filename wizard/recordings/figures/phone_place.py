"""Whether a phone lay where it was asked to: by gravity's direction, and by how quiet it is at rest."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import SignalKind, SpinPhase
from wizard.recordings.course.hand_tremor import HandTremor
from wizard.recordings.course.spin_phases import PhaseStretch, longest
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

PULL = (9.0, 10.6)
"""m/s2 within which what a phone's sensor reads at rest is gravity: 9.81, and 0.8 for the sensor (an estimate)."""

TILTED = 25.0
"""Degrees off the lie that was asked for, beyond which the phone lay otherwise: a top slopes by less (an estimate)."""

SHIFTED = 8.0
"""Degrees by which gravity may turn in the phone from first to last: more, and it moved (an estimate)."""

HELD = 0.15
"""m/s2 rms at rest: a phone that lies on a still machine is quieter, one in a hand is not (an estimate)."""

_ENDS = 2.0  # s at either end


def phone_place(
    signal: RecordedSignal, stretches: tuple[PhaseStretch, ...], held: HandTremor | None = None
) -> tuple[str, ...]:
    """Return a sentence on each thing that speaks against the phone having lain flat and fast on the machine.

    None where it says nothing against it. Of a sound there is nothing to tell it by. ``held``: a hand's tremor.
    """
    if signal.kind is SignalKind.SOUND or not signal.calibrated:
        return ()
    says = []
    pull = float(np.linalg.norm(signal.level)) if len(signal.level) == 3 else 0.0
    if not PULL[0] <= pull <= PULL[1]:
        says.append("Gravity isn't in it, so which way up the phone lay is not told.")
    else:
        tilt = math.degrees(math.acos(min(1.0, abs(signal.level[2]) / pull)))
        if tilt > TILTED:
            says.append(
                f"Gravity points {tilt:.0f} degrees off the phone's back: it didn't lie flat on the top, so this may "
                "have been recorded elsewhere."
            )
        elif signal.level[2] < 0:
            says.append("The phone lay with its screen down.")
        turned = _turned(signal)
        if turned > SHIFTED:
            says.append(
                f"From its first seconds to its last the phone turned by {turned:.0f} degrees: it came loose, or was "
                "picked up before the end."
            )
    rest = longest(stretches, SpinPhase.REST)
    if held:
        says.append(
            f"While no drum is seen to turn it trembles at 4 to 12 Hz by {held.size:.2f} m/s2, and gravity wanders in "
            f"it by {held.wander:.1f} degrees: the phone was held in a hand. Don't trust what it says of the machine."
        )
    elif rest is None:
        says.append("It has no rest in it: whether the phone lay still on the machine is not told.")
    else:
        quiet = _rms(signal, rest.start, rest.end)
        if quiet > HELD:
            says.append(
                f"At rest it moves by {quiet:.2f} m/s2: more than a phone that lies on a still machine. It may have "
                "been held, or lain elsewhere."
            )
    return tuple(says)


def _turned(signal: RecordedSignal) -> float:
    """Return by how many degrees gravity turned in the phone from the start to the end."""
    whole = signal.values + np.asarray(signal.level)
    first = whole[signal.time <= _ENDS].mean(axis=0)
    last = whole[signal.time >= signal.seconds - _ENDS].mean(axis=0)
    lengths = float(np.linalg.norm(first) * np.linalg.norm(last))
    return math.degrees(math.acos(float(np.clip(np.dot(first, last) / max(lengths, 1e-9), -1.0, 1.0))))


def _rms(signal: RecordedSignal, start: float, end: float) -> float:
    """Return how loud the quieter half of a stretch is, all axes together, half a second at a time."""
    inside = (signal.time >= start) & (signal.time < end)
    values: Array = signal.values[inside]
    pieces = np.array_split(values, max(1, round((end - start) / 0.5)))
    each = [float(np.sqrt(np.mean(np.sum((p - p.mean(axis=0)) ** 2, axis=1)))) for p in pieces if len(p) > 3]
    return float(np.median(each)) if each else 0.0
