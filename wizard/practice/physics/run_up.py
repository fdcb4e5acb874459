"""A tub whose drum runs up through its resonance: integrated, since no closed form holds while the speed changes."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from wizard.practice.physics.tub import Tub

Array = NDArray[np.float64]

CREEP = 0.01
"""Below this speed, m/s, friction is taken to rise with it, so that it can be integrated: a small part of a swing's."""


@dataclass(frozen=True, slots=True)
class Passage:
    """The largest swing of a run-up: ``swing`` m, at ``time`` s, when the drum turned at ``omega`` rad/s."""

    swing: float
    time: float
    omega: float


def run_up(tub: Tub, unbalance: float, rate: float, until: float, points: int = 40) -> Passage:
    """Return the largest swing while the drum runs up evenly by ``rate`` rad/s2 from rest to ``until`` rad/s.

    ``unbalance`` kg m: M x'' + c x' + k x + F sign(x') = u (omega^2 cos phi + omega' sin phi). ``points`` are looked
    at a turn of the last speed.
    """
    stop = until / rate
    count = max(200, math.ceil(points * until * stop / (2 * math.tau)))
    found = solve_ivp(
        _pull(tub, unbalance, rate), (0.0, stop), [0.0, 0.0], "LSODA",
        t_eval=np.linspace(0.0, stop, count), rtol=1e-4, atol=1e-6, max_step=stop / 50,
    )  # fmt: skip
    path: Array = np.abs(found.y[0])
    at = int(np.argmax(path))
    return Passage(float(path[at]), float(found.t[at]), rate * float(found.t[at]))


PAST = 1.8
"""How far past the natural frequency a tub's own run-up is followed: all that swings has swung by then."""


def largest_swing(tub: Tub, unbalance: float, rate: float) -> float:
    """Return the largest swing, m, of a tub whose drum runs through its resonance by ``rate`` rad/s2.

    Where dry friction is never overcome on the way nothing slides: 0. Else the run-up is integrated. What rubber gives,
    a millimetre or two, is left out.
    """
    last = PAST * tub.natural
    if 4 / math.pi * tub.friction >= unbalance * last**2:
        return 0.0
    return run_up(tub, unbalance, rate, last).swing


def _pull(tub: Tub, unbalance: float, rate: float) -> Callable[[float, Array], tuple[float, float]]:
    """Return the derivative of place and speed."""
    mass, stiff, viscous, dry = tub.mass, tub.stiffness, tub.viscous, tub.friction

    def pull(time: float, state: Array) -> tuple[float, float]:
        place, pace = float(state[0]), float(state[1])
        omega, angle = rate * time, rate * time * time / 2
        force = unbalance * (omega * omega * math.cos(angle) + rate * math.sin(angle))
        held = dry * math.tanh(pace / CREEP) if dry else 0.0
        return pace, (force - stiff * place - viscous * pace - held) / mass

    return pull
