"""Water at stake: what a burst hose lets out, and how old a hose is."""

from __future__ import annotations

import math
from datetime import date, datetime

from wizard.measure.argument_checks import LARGEST, SMALLEST, not_negative, positive

DENSITY = 998.2  # kg/m3 at 20 degC; CRC Handbook (from memory)
VISCOSITY = 1.002e-3  # Pa s at 20 degC; CRC Handbook (from memory)
_ROUGHEST = 0.1  # of the bore; Colebrook's equation is not meant for more
_LAMINAR = 2040.0  # Reynolds number of the change; Avila et al., Science 333 (2011) 192 (from memory)


def flood(flow: float, seconds: float) -> float:
    """Return the volume let out, m3, by ``flow`` m3/s in ``seconds``. ValueError if negative."""
    return not_negative("flow", flow) * not_negative("seconds", seconds)


def friction_factor(reynolds: float, relative_roughness: float = 0.0) -> float:
    """Return the Darcy friction factor of a round pipe.

    64 / Re up to 2040, above it Colebrook's equation, solved. ``relative_roughness``: roughness over
    bore, below 0.1. ValueError naming the argument. Source: Colebrook 1939.
    """
    re = positive("reynolds", reynolds)
    rough = not_negative("relative_roughness", relative_roughness)
    if rough >= _ROUGHEST:
        raise ValueError(f"relative_roughness: must be below 0.1, is {rough:g}")
    if re <= _LAMINAR:
        return 64 / re
    x = 7.0  # 1 / sqrt(f); Newton's method on x + 2 log10(a + b x), which has one root
    a, b = rough / 3.7, 2.51 / re
    for _ in range(50):
        step = (x + 2 * math.log10(a + b * x)) / (1 + 2 * b / (math.log(10) * (a + b * x)))
        x -= step
        if abs(step) < 1e-14 * x:
            break
    return 1 / (x * x)


def hose_flow(
    pressure: float,
    bore: float,
    length: float,
    roughness: float = 0.0,
    entrance: float = 0.5,
    leaving: float = 1.0,
    density: float = DENSITY,
    viscosity: float = VISCOSITY,
) -> float:
    """Return the flow, m3/s, out of an open hose of ``bore`` and ``length`` m under ``pressure`` Pa at
    its inlet.

    ``entrance`` and ``leaving``: heads lost, in velocity heads; ``roughness`` m, smooth by default. The
    pressure that the house pipes still give while it flows decides most: it falls well below the static
    one. ValueError naming the argument. Source: Darcy-Weisbach, p = (f L / D + K) rho v^2 / 2.
    """
    head, diameter = not_negative("pressure", pressure), positive("bore", bore)
    long = not_negative("length", length)
    heads = not_negative("entrance", entrance) + not_negative("leaving", leaving)
    heavy, thick = positive("density", density), positive("viscosity", viscosity)
    relative = not_negative("roughness", roughness) / diameter
    if relative >= _ROUGHEST:
        raise ValueError(f"roughness: must be below a tenth of the bore, is {relative * diameter:g} m")
    if heads == 0 and long == 0:
        raise ValueError("length: with no heads lost there must be a length")
    low, high = 0.0, _fastest(head, diameter, long, heads, heavy, thick)
    for _ in range(200):  # halving: the loss rises with speed, with one jump where the flow turns turbulent
        speed = (low + high) / 2
        if speed in (low, high):
            break
        factor = friction_factor(min(max(heavy * speed * diameter / thick, SMALLEST), LARGEST), relative)
        lost = (factor * long / diameter + heads) * heavy * speed * speed / 2
        low, high = (speed, high) if lost < head else (low, speed)
    return math.pi / 4 * diameter * diameter * (low + high) / 2


def _fastest(head: float, diameter: float, long: float, heads: float, heavy: float, thick: float) -> float:
    """Return a speed that the flow can't pass: without friction, and as if it stayed laminar."""
    free = math.sqrt(2 * head / (heavy * heads)) if heads > 0 else math.inf
    laminar = head * diameter * diameter / (32 * thick * long) if long > 0 else math.inf
    return min(free, laminar)


def hose_age(made: date, today: date) -> float:
    """Return a hose's age in seconds (``units`` shows years) on ``today``, which the caller's clock gives.

    ValueError naming ``made`` if it lies after ``today``.
    """
    for name, day in (("made", made), ("today", today)):
        if not isinstance(day, date) or isinstance(day, datetime):
            raise ValueError(f"{name}: must be a date, is {day!r}")
    if made > today:
        raise ValueError(f"made: {made.isoformat()} is later than today, {today.isoformat()}")
    return (today - made).days * 86400.0
