"""The sound of a made spin as a phone's microphone has it: noise that grows with the speed, and what beats in it."""

from __future__ import annotations

import math
import wave
from pathlib import Path

import numpy as np

from wizard.practice.demo.demo_spin import Array, DemoSpin, marks, speed

RATE = 8000
"""Samples a second."""

_LOUD = 0.05  # of full scale, at 1000 rpm
_QUIET = 3e-4
_GROWS = 1.7  # the power of the speed
_BEAT = 0.2  # once a turn, of a drum that isn't quite round
_SLIP = 0.012
_DEPTH = 1.2
_SHARP = 6.0
_HUM = 0.01


def sound(spin: DemoSpin, seed: int) -> Array:
    """Return samples, 1 being full scale, shape (n,)."""
    rng = np.random.default_rng([seed, 33])
    time = np.arange(0.0, marks(spin)[-1], 1 / RATE)
    turning = np.abs(speed(spin, time))
    angle = np.cumsum(turning) / RATE
    share = turning / (1000 * math.tau / 60)
    beats = 1 + _BEAT * np.cos(angle + 0.4)
    if spin.defect:
        wander = np.cumsum(rng.standard_normal(len(time))) * 0.02 / math.sqrt(RATE)
        beats = beats + _DEPTH * np.exp(_SHARP * (np.cos(spin.defect * (1 - _SLIP) * angle + wander) - 1))
    noise = rng.standard_normal(len(time))
    bright = noise - 0.6 * np.concatenate([[0.0], noise[:-1]])
    made = (_LOUD * share**_GROWS + _QUIET) * beats * bright
    return np.clip(made + _HUM * share**2 * np.sin(angle), -1, 1)


def write_sound(spin: DemoSpin, seed: int, path: Path) -> None:
    """Write a made sound as a WAV of 16 bits. OSError if it can't be."""
    samples = np.round(32767 * sound(spin, seed)).astype("<i2")
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.tobytes())
