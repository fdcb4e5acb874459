"""The free decay of a sprung mass with viscous and dry friction damping, in closed form.

x'' + 2 zeta w x' + w^2 (x - rest) = - w^2 f sign(x'), where f = F/k. Between turning points it is a
damped free swing about a centre shifted by f, so every half swing takes the same time and takes the
amplitude a to q (a - f) - f with q = exp(-zeta pi / sqrt(1 - zeta^2)); it stays where a turning point is
within f. Source: Thomson, 2.8, with viscous damping added.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Swing:
    """A decay: ``start`` and ``pace`` (start velocity / ``omega``) at time 0, undamped ``omega`` rad/s,
    ``zeta``, ``friction`` f = F/k, and the ``rest`` it would come to without friction. Lengths in one
    unit.
    """

    start: float
    pace: float
    omega: float
    zeta: float
    friction: float
    rest: float


def response(swing: Swing, time: Array, stop: int | None = None) -> Array:
    """Return the displacement at each ``time`` (s, none negative), shape (n,).

    ``stop``: stay at that turning point, whatever the friction says; smooth in the swing's numbers, so
    made for fitting.
    """
    course = _course(swing, time, stop)
    moved = course.heading * ((course.level - swing.friction) * _wave(swing, course.since) + swing.friction)
    later = swing.rest + np.where(course.stuck, course.heading * course.level, moved)
    return np.where(time < course.first, _opening(swing, np.minimum(time, course.first)), later)


def velocity(swing: Swing, time: Array, stop: int | None = None) -> Array:
    """Return the velocity (lengths a second) at each ``time`` (s, none negative), shape (n,); ``stop`` as in
    ``response``.

    Unlike the acceleration, which dry friction makes jump at each turn, it has no jumps.
    """
    course = _course(swing, time, stop)
    moved = course.heading * (course.level - swing.friction) * _wave_pace(swing, course.since)
    later = np.where(course.stuck, 0.0, moved)
    return np.where(time < course.first, _opening_pace(swing, np.minimum(time, course.first)), later)


def mean_acceleration(swing: Swing, time: Array, width: float, stop: int | None = None) -> Array:
    """Return the acceleration (lengths a second squared) as the mean over ``width`` s round each ``time``, shape
    (n,).

    No ``time`` below half a width. What a sensor gives that takes one reading every ``width`` s; ``stop`` as in
    ``response``.
    """
    edges = velocity(swing, np.concatenate([time - width / 2, time + width / 2]), stop)
    before, after = np.split(edges, 2)
    gained: Array = (after - before) / width
    return gained


@dataclass(frozen=True, slots=True)
class _Course:
    """Where each time lies: before the ``first`` turning point, or ``since`` one of height ``level``, from the side
    ``heading`` (+1, -1); ``stuck`` where it stays.
    """

    first: float
    since: Array
    heading: Array
    level: Array
    stuck: NDArray[np.bool_]


def _course(swing: Swing, time: Array, stop: int | None) -> _Course:
    """Return the half swing that each time lies in."""
    half = math.pi / (swing.omega * _root(swing))
    first, sign, peak = _first_turn(swing)
    turns = max(0, math.ceil((float(time.max(initial=0.0)) - first) / half))
    peaks = _heights(swing, peak, turns if stop is None else min(turns, stop))
    stay = stays_at(swing, peak, turns) if stop is None else stop
    last = len(peaks) - 1 if stay is None else min(stay, len(peaks) - 1)
    index = np.clip(np.floor((time - first) / half).astype(int), 0, last)
    since = np.minimum(np.maximum(time - first - index * half, 0.0), half)
    return _Course(first, since, np.where(index % 2 == 0, sign, -sign), peaks[index], index == stay)


def stays_at(swing: Swing, peak: float, turns: int) -> int | None:
    """Return which of the first ``turns`` turning points after ``peak`` it stays at, None if at none of
    them.
    """
    stays = np.flatnonzero(_heights(swing, peak, turns) <= swing.friction)
    return int(stays[0]) if len(stays) else None


def stop_of(swing: Swing, until: float) -> int | None:
    """Return the turning point, counted from the first, at which it comes to stay by ``until`` s, None if
    it doesn't.
    """
    first, _, peak = _first_turn(swing)
    return stays_at(swing, peak, max(0, math.ceil((until - first) * swing.omega * _root(swing) / math.pi)))


def amplitudes(swing: Swing, peak: float, turns: int) -> Array:
    """Return the heights of the turning points from ``peak`` on, toward alternate sides, until it stays
    or ``turns`` more.

    A height below zero stopped short of the rest. Shape (1 to turns + 1,).
    """
    stay = stays_at(swing, peak, turns)
    return _heights(swing, peak, turns if stay is None else stay)


def _heights(swing: Swing, peak: float, turns: int) -> Array:
    """Return the heights of ``turns`` turning points after ``peak``, as if it never stayed, shape (turns
    + 1,).
    """
    count = np.arange(turns + 1)
    q = swing_loss(swing.zeta)
    powers = q**count
    sums = count.astype(float) if q == 1 else (1 - powers) / (1 - q)
    heights: Array = peak * powers - swing.friction * (1 + q) * sums
    return heights


def swing_loss(zeta: float) -> float:
    """Return q, what viscous damping leaves of the amplitude after half a swing."""
    return math.exp(-zeta * math.pi / math.sqrt(1 - zeta * zeta))


def friction_share(swing: Swing, time: float) -> float:
    """Return the share of the energy lost by ``time`` seconds, to the nearest turn, that dry friction
    took, 0 to 1.
    """
    first, _, peak = _first_turn(swing)
    half = math.pi / (swing.omega * _root(swing))
    peaks = amplitudes(swing, peak, max(0, round((time - first) / half)))
    begun = ((swing.start - swing.rest) ** 2 + swing.pace**2) / 2
    side = math.copysign(peak, swing.pace) if swing.pace else swing.start - swing.rest
    path = abs(swing.start - swing.rest - side) + float(np.sum(peaks[1:] + peaks[:-1]))
    lost = begun - float(peaks[-1] ** 2) / 2
    return min(1.0, max(0.0, swing.friction * path / lost)) if lost > 0 else 0.0


def _root(swing: Swing) -> float:
    """Return sqrt(1 - zeta^2), the damped over the undamped frequency."""
    return math.sqrt(1 - swing.zeta * swing.zeta)


def _wave(swing: Swing, since: Array) -> Array:
    """Return the unit swing from a turning point: 1 at time 0, -q after half a swing."""
    angle = swing.omega * _root(swing) * since
    fade = np.exp(-swing.zeta * swing.omega * since)
    shape: Array = fade * (np.cos(angle) + swing.zeta / _root(swing) * np.sin(angle))
    return shape


def _wave_pace(swing: Swing, since: Array) -> Array:
    """Return how fast the unit swing changes, a second."""
    fade = np.exp(-swing.zeta * swing.omega * since)
    pace: Array = -swing.omega / _root(swing) * fade * np.sin(swing.omega * _root(swing) * since)
    return pace


def _opening(swing: Swing, time: Array) -> Array:
    """Return the displacement before the first turning point."""
    shift = math.copysign(swing.friction, swing.pace) - swing.rest
    angle = swing.omega * _root(swing) * time
    fade = np.exp(-swing.zeta * swing.omega * time)
    lead = (swing.pace + swing.zeta * (swing.start + shift)) / _root(swing)
    path: Array = fade * ((swing.start + shift) * np.cos(angle) + lead * np.sin(angle)) - shift
    return path


def _opening_pace(swing: Swing, time: Array) -> Array:
    """Return the velocity before the first turning point."""
    shift = math.copysign(swing.friction, swing.pace) - swing.rest
    angle = swing.omega * _root(swing) * time
    fade = np.exp(-swing.zeta * swing.omega * time)
    fall = (swing.zeta * swing.pace + swing.start + shift) / _root(swing)
    path: Array = swing.omega * fade * (swing.pace * np.cos(angle) - fall * np.sin(angle))
    return path


def _first_turn(swing: Swing) -> tuple[float, float, float]:
    """Return the first turning point: its time, its side (+1, -1), and its height to that side."""
    first = 0.0
    if swing.pace != 0:
        shift = math.copysign(swing.friction, swing.pace) - swing.rest
        across = swing.pace * _root(swing)
        along = swing.zeta * swing.pace + swing.start + shift
        first = math.atan2(across, along) % math.pi / (swing.omega * _root(swing))
    where = float(_opening(swing, np.array([first]))[0]) - swing.rest
    return first, math.copysign(1.0, where), abs(where)
