"""Stored energy, and heaters: how long a capacitor or a bus takes to fall to a safe voltage, what a plate promises."""

from __future__ import annotations

import math

from wizard.measure.argument_checks import not_negative, positive


def discharge_time(resistance: float, capacitance: float, start: float, safe: float) -> float:
    """Return the seconds until a capacitor falls from ``start`` to ``safe``: R C ln(start / safe), or 0
    if it is there.

    Ohm, farad, volt; ``start`` not negative, the rest above zero. ValueError naming the argument.
    Computed, not proof: the reading decides. Source: exponential discharge of an RC circuit.
    """
    tau = positive("resistance", resistance) * positive("capacitance", capacitance)
    high, low = not_negative("start", start), positive("safe", safe)
    return tau * math.log(high / low) if high > low else 0.0


def wait_left(first: float, second: float, seconds: float, safe: float) -> float:
    """Return the seconds still to wait for ``safe``, from two readings, V, taken ``seconds`` apart; no R
    or C needed.

    0 if the second is already there; infinite if the voltage isn't falling (it never bleeds down: stop work).
    ValueError naming the argument. Source: exponential discharge, V2 = V1 exp(-t / tau).
    """
    high, now = positive("first", first), not_negative("second", second)
    apart, low = positive("seconds", seconds), positive("safe", safe)
    if now <= low:
        return 0.0
    if now >= high:
        return math.inf
    return apart * math.log(now / low) / math.log1p((high - now) / now)


def plate_resistance(volts: float, watts: float) -> float:
    """Return the resistance, ohm, of a heater that takes ``watts`` at ``volts``: U^2 / P.

    Both above zero. ValueError naming the argument. Source: Joule's law, P = U^2 / R.
    """
    return positive("volts", volts) ** 2 / positive("watts", watts)
