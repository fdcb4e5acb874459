"""Calculators of how the tub is held: dampers, springs, its bounce."""

from __future__ import annotations

import math
import statistics

from wizard.calculators.declaration import Calculator, ChartKind, Input, Setting
from wizard.calculators.values import Inputs, Settings, Value, means, number, ways


def drags(inputs: Inputs) -> list[Value]:
    """The drag of each damper from its pulls out and in, so that its own weight cancels."""
    from wizard.measure.mechanics import dampers

    return [
        Value(
            out.of or out.name,
            dampers.drag(out.mean, into.mean),
            math.hypot(out.uncertainty, into.uncertainty) / 2,
        )
        for out, into in ways(inputs["pulls"])
    ]


def drag_spread(inputs: Inputs, _settings: Settings) -> list[Value]:
    """(largest - smallest) / mean of the drags, with the uncertainty of that share; shows each damper's drag too.

    Source: GUM 5.1.2, eq. 10. ValueError if all drags are nothing.
    """
    each = drags(inputs)
    low, *_, high = sorted(each, key=lambda v: v.mean)
    mean = statistics.fmean(means(each))
    if mean == 0:
        raise ValueError("pulls: no damper drags at all, so there is no share to give")
    share = (high.mean - low.mean) / mean
    slopes = [((d is high) - (d is low) - share / len(each)) / mean for d in each]
    u = math.hypot(*(slope * d.uncertainty for slope, d in zip(slopes, each, strict=True)))
    return [Value("spread", share, u, says=f"{low.name} drags least, {high.name} most" if share else "")]


def hung_rate(inputs: Inputs, _settings: Settings) -> list[Value]:
    """A spring's rate from two hung weights."""
    from wizard.measure.mechanics import springs

    light, heavy = inputs["loads"]
    near, far = inputs["stretches"]
    load_u = math.hypot(light.uncertainty, heavy.uncertainty) / math.sqrt(2)
    reach_u = math.hypot(near.uncertainty, far.uncertainty) / math.sqrt(2)
    found = springs.rate_from_loads((light.mean, heavy.mean), (near.mean, far.mean), load_u, reach_u)
    tension_u = math.hypot(light.uncertainty, found.rate * near.uncertainty, near.mean * found.rate_u)
    return [Value("rate", found.rate, found.rate_u, says=_tension(found.initial_tension, tension_u))]


def _tension(force: float, u: float) -> str:
    """The initial tension, N. No spring has one below zero: within 2 ``u`` it is none, beyond it a slip of the
    rule.
    """
    if force < -2 * u:
        return f"initial tension {force:.0f} N, below zero: measure the stretch again"
    return f"initial tension {max(0.0, force):.0f} N"


def wire_rate(inputs: Inputs, settings: Settings) -> list[Value]:
    """A spring's rate from its wire, the coil's outside diameter and its coils."""
    from wizard.measure.mechanics import springs
    from wizard.measure.uncertainty import propagation

    wire, outside = inputs["sizes"]
    (coils, *_), mean = inputs["coils"], outside.mean - wire.mean
    if mean <= wire.mean:
        raise ValueError("sizes: the coil must be more than twice as wide as its wire")
    rate = springs.helical_rate(number(settings, "modulus"), wire.mean, mean, coils.mean)
    # The mean diameter is outside less wire, so a wire measured too thick also makes it too small.
    slopes = (rate * (4 / wire.mean + 3 / mean), -3 * rate / mean, -rate / coils.mean)
    return [
        Value(
            "rate",
            rate,
            propagation.propagate(slopes, (wire.uncertainty, outside.uncertainty, coils.uncertainty)),
        )
    ]


def resonance(inputs: Inputs, settings: Settings) -> list[Value]:
    """The spin speed (Hz) that shakes the tub most on its springs."""
    from wizard.measure.mechanics import springs

    rate = inputs["rate"][0]
    weighed = inputs.get("mass", ())
    mass = weighed[0].mean if weighed else number(settings, "hung")
    count = round(number(settings, "springs"))
    hertz = springs.resonance(rate.mean, mass, count).frequency
    shares = (rate.uncertainty / rate.mean / 2, weighed[0].uncertainty / mass / 2 if weighed else 0.0)
    return [
        Value(
            "sways most", hertz, hertz * math.hypot(*shares), says="" if weighed else "hung mass not weighed"
        )
    ]


def sway_speed(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The spin speed (Hz) that comes once a swing: 1 / period."""
    from wizard.measure.argument_checks import positive

    period = inputs["period"][0]
    hertz = 1 / positive("period", period.mean)
    return [Value("sways most", hertz, period.uncertainty * hertz * hertz)]


NO_LOSS = "no loss seen, the swings stay as high"
"""What equal heights say: not that there is no damping, but that none was seen."""


def loses(loss: float) -> bool:
    """True when a log decrement is one, and not what rounding leaves of equal heights."""
    return loss > 1e-9


def decrement(inputs: Inputs, settings: Settings) -> list[Value]:
    """The damping ratio from successive peaks; its uncertainty from that of the peaks."""
    from wizard.measure.damping import ringdown

    peaks = inputs["peaks"]
    found = ringdown.log_decrement(means(peaks))
    middle = (len(peaks) - 1) / 2
    weights = [(n - middle) / p.mean * p.uncertainty for n, p in enumerate(peaks)]
    loss_u = math.hypot(*weights) / math.fsum((n - middle) ** 2 for n in range(len(peaks)))
    # d zeta / d delta = 4 pi^2 / (4 pi^2 + delta^2)^(3/2)
    slope = math.tau**2 / math.hypot(math.tau, found.decrement) ** 3
    says = _as_friction(inputs, settings) if loses(found.decrement) else NO_LOSS
    return [Value("damping ratio", found.damping_ratio, loss_u * slope, says=says)]


def _as_friction(inputs: Inputs, settings: Settings) -> str:
    """What the same loss would be as dry friction, of the swing's time and the hung mass: k = m w^2."""
    from wizard.measure.damping import ringdown

    timed = inputs.get("period", ())
    if not timed or timed[0].mean <= 0:
        return ""
    hung = number(settings, "hung")
    stiffness = hung * (math.tau / timed[0].mean) ** 2
    force = ringdown.coulomb_force(means(inputs["peaks"]), stiffness)
    return f"if dry friction takes it all: {force:.0f} N over all dampers, with {hung:.0f} kg hung"


ROWS = (
    Calculator(
        "drag-spread",
        "how far the dampers differ, as a share of their mean: the drag of each is the mean of out and in",
        {"pulls": Input("force", "pulls of each damper, out and in", many=True, least=2, ways=2)},
        "ratio",
        "%",
        compute=drag_spread,
    ),
    Calculator(
        "hung-rate",
        "a spring's rate from two weights hung on it and how far each stretches it",
        {
            "loads": Input("force", "the lighter and the heavier weight", many=True, least=2, most=2),
            "stretches": Input("length", "how far each stretches the spring", many=True, least=2, most=2),
        },
        "stiffness",
        "N/mm",
        compute=hung_rate,
    ),
    Calculator(
        "wire-rate",
        "a spring's rate from its wire: G d^4 / (8 D^3 n)",
        {
            "sizes": Input(
                "length", "the wire, then the coil's outside diameter", many=True, least=2, most=2
            ),
            "coils": Input("count", "the coils that stretch"),
        },
        "stiffness",
        "N/mm",
        {
            "modulus": Setting(
                "MPa", "shear modulus of the wire; 79300 for spring steel", 10_000, 200_000, 79_300
            )
        },
        compute=wire_rate,
    ),
    Calculator(
        "resonance",
        "the spin speed at which a tub on its springs sways most",
        {
            "rate": Input("stiffness", "the rate of one spring"),
            "mass": Input("mass", "what hangs on the springs", optional=True),
        },
        "frequency",
        "rpm",
        {
            "springs": Setting("count", "how many carry it side by side", 1, 8, 2),
            "hung": Setting("kg", "the hung mass where it isn't weighed", 5, 200, 50),
        },
        compute=resonance,
    ),
    Calculator(
        "sway-speed",
        "the spin speed at which the tub sways most, from the time of one swing",
        {"period": Input("time", "the time of one whole swing, up and down")},
        "frequency",
        "rpm",
        compute=sway_speed,
    ),
    Calculator(
        "decrement",
        "the damping ratio, from successive heights of swings to one side; with their time, the same as dry friction",
        {
            "peaks": Input(
                "length", "heights of successive swings to one side, from rest", many=True, least=2
            ),
            "period": Input("time", "the time of one swing", optional=True),
        },
        "ratio",
        "1",
        {"hung": Setting("kg", "the hung mass", 5, 200, 50)},
        compute=decrement,
        drawn_as=ChartKind.SWINGS,
    ),
)
