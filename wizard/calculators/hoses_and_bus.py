"""Calculators of what comes into the machine: water and stored electricity."""

from __future__ import annotations

import math
from datetime import date

from wizard.calculators.declaration import Calculator, Input, Setting
from wizard.calculators.values import Inputs, Settings, Value, number

_OLDEST = 1950


_FRICTION = 0.05
"""Share of a flow that its computing may be off by, standard: friction factors are good to 15 % (White, Fluid
Mechanics, on the Moody chart; from memory), the flow goes with their root at most, and the ends' losses are round.
"""


def hose_age(inputs: Inputs, settings: Settings) -> list[Value]:
    """Years since the hose was made, in seconds; ``settings['today']`` is the day of the visit, ISO 8601.

    A year alone may be any day of it: its middle, or half of what has gone by of this year, +- 1 / sqrt 12 years. A
    year with a fraction is taken as it is, to a month.
    """
    from wizard.measure.water_electrical import water

    made, today = inputs["made"][0].mean, date.fromisoformat(str(settings["today"]))
    if not _OLDEST <= made < today.year + 1:
        raise ValueError(f"made: write the year from {_OLDEST} to {today.year}, four digits")
    first, last, share = date(int(made), 1, 1), date(int(made), 12, 31), made % 1
    if not share:
        last, share = min(last, today), 0.5
        spread = (last - first).days * 86400 / math.sqrt(12)
    else:
        spread = 30 * 86400 / math.sqrt(12)
    day = date.fromordinal(first.toordinal() + round(share * (last - first).days))
    return [Value("hose", water.hose_age(day, today), spread)]


def flood_flow(inputs: Inputs, settings: Settings) -> list[Value]:
    """m3/s out of a burst hose, and what that comes to; the pressure in Pa, bore and length in m."""
    from wizard.measure.water_electrical import water

    measured = inputs.get("pressure", ())
    pressure = measured[0].mean if measured else number(settings, "supply")
    flow = water.hose_flow(pressure, number(settings, "bore"), number(settings, "length"))
    # Turbulent flow goes with the root of the pressure, nearly.
    by_pressure = measured[0].uncertainty / (2 * pressure) if measured and pressure else 0.0
    u = flow * math.hypot(_FRICTION, by_pressure)
    away = number(settings, "away")
    floods = f"{_volume(water.flood(flow, 3600))} in an hour, {_volume(water.flood(flow, away))} in {away / 3600:g} h"
    assumed = "" if measured else f"at {pressure / 1e5:.2g} bar while it flows: "
    return [Value("burst hose", flow, u, says=f"{assumed}{floods} with nobody there")]


def _volume(cubic: float) -> str:
    """A volume to two figures, for people: '1900 L (500 gal)'."""
    from wizard.measure.quantities import units

    litres, gallons = (units.from_si(cubic, unit) for unit in ("L", "gal"))
    return " ".join(
        form.format(f"{float(f'{amount:.2g}'):.0f}")
        for form, amount in (("{} L", litres), ("({} gal)", gallons))
    )


def wait_left(inputs: Inputs, settings: Settings) -> list[Value]:
    """Seconds until a bus is at the safe voltage. ValueError if it doesn't fall: it never bleeds down."""
    from wizard.measure.water_electrical import electrical

    first, second = inputs["volts"]
    apart, safe = number(settings, "apart"), number(settings, "safe")
    left = electrical.wait_left(first.mean, second.mean, apart, safe)
    if math.isinf(left):
        raise ValueError("volts: it doesn't fall, so it never bleeds down by itself. Stop work")
    return [Value("wait left", left, _wait_u(first, second, apart, safe) if left else 0.0)]


def _wait_u(first: Value, second: Value, apart: float, safe: float) -> float:
    """First-order uncertainty of t ln(V2 / Vs) / ln(V1 / V2)."""
    from wizard.measure.uncertainty import propagation

    fall = math.log(first.mean / second.mean)
    rest = math.log(second.mean / safe)
    by_first = -apart * rest / fall**2 / first.mean
    by_second = apart * (1 / fall + rest / fall**2) / second.mean
    return propagation.propagate((by_first, by_second), (first.uncertainty, second.uncertainty))


ROWS = (
    Calculator(
        "hose-age",
        "years since the hose was made, on the day of the visit",
        {"made": Input("count", "the year printed on the hose or its ferrule, as a number")},
        "time",
        "years",
        today=True,
        compute=hose_age,
    ),
    Calculator(
        "flood-flow",
        "what a burst hose would let through, in an hour and while nobody is there",
        {"pressure": Input("pressure", "what the house pipes still give while it flows", optional=True)},
        "flow",
        "L/min",
        {
            "supply": Setting("bar", "that pressure where it isn't measured; estimate", 0.1, 16, 1),
            "bore": Setting("mm", "of the hose", 2, 40, 10),
            "length": Setting("mm", "of the hose", 0, 10_000, 1500),
            "away": Setting("h", "with nobody there", 0.5, 720, 8),
        },
        compute=flood_flow,
    ),
    Calculator(
        "wait-left",
        "how long a charged bus or capacitor still needs to fall to a safe voltage, from two readings of it",
        {
            "volts": Input(
                "voltage", "the voltage now, then after the wait between", many=True, least=2, most=2
            )
        },
        "time",
        "s",
        {
            "apart": Setting("s", "between the two readings", 5, 900, 60),
            "safe": Setting("V", "what is safe", 1, 120, 50),
        },
        compute=wait_left,
    ),
)
