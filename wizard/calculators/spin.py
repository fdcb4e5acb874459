"""Calculators of the spin: the pull of a bag, and what makes a machine slip."""

from __future__ import annotations

import math

from wizard.calculators.declaration import Calculator, Choice, Input, Setting
from wizard.calculators.usual_machines import Usual, usual
from wizard.calculators.values import Inputs, Settings, Value, number

KINDS = Choice(
    "the kind of machine, as a fact: estimates of its masses, springs, damping and spin speed are taken for it",
    {"front-loader": 0.0, "top-hung": 1.0, "top-base": 2.0},
    other=-1.0,
)
GRIP = Choice(
    "how the floor holds, by a choose step: 0.15 where it answers 'slips', otherwise 0.45; estimates",
    {"slips": 0.15},
    other=0.45,
)


_GRIP_U, _MASS_U = 0.25, 0.15
"""How well a floor's friction and the mass of a machine that wasn't looked up are known, as shares. Estimates."""


_RADIUS_U = (0.28 - 0.23) / math.sqrt(12)
"""Standard uncertainty of an assumed drum radius, m: drums have 0.23 to 0.28 m (common practice), any as likely."""


def bag_pull(inputs: Inputs, settings: Settings) -> list[Value]:
    """The force of a bag at the drum's rim, with what of it reaches the floor of a machine of that kind.

    At the speed set, or at the machine's own spin speed where that is less.
    """
    from wizard.measure.mechanics import rotating

    mass = inputs["mass"][0]
    machine = usual(number(settings, "kind"))
    rpm, radius = number(settings, "speed") * 60, number(settings, "radius")
    rpm = min(rpm, machine.rpm) if machine else rpm
    force = rotating.unbalance_force(mass.mean, radius, rpm)
    share = math.hypot(mass.uncertainty / mass.mean, _RADIUS_U / radius) if mass.mean else 0.0
    lines = [f"at {rpm:.0f} rpm, {radius:.2g} m from the axis"]
    if machine is not None and mass.mean:
        lines += [
            _passed_on(machine, mass.mean, radius, rpm, number(settings, "grip")),
            _graded(mass.mean, rpm, settings),
        ]
    return [Value("pull", force, force * share, says=". ".join(lines))]


def _passed_on(machine: Usual, bag: float, radius: float, rpm: float, grip: float) -> str:
    """What reaches the floor, against what makes it slip. Turning on the spot comes earlier, so half is kept back."""
    from wizard.measure.mechanics import walking

    at = walking.at_speed(
        rpm, bag, radius, machine.hung, machine.stiffness, machine.viscous, machine.whole, grip,
        machine.friction, machine.axis,
    )  # fmt: skip
    times = walking.slip_force(machine.whole, grip, machine.axis) / at.transmitted
    lines = (
        f"About {at.transmitted:.0f} N of it reach the floor: the machine slides at {times:.1f} times that"
    )
    return f"{lines}, and turns on the spot earlier (estimate)"


def _graded(bag: float, rpm: float, settings: Settings) -> str:
    """The bag against what ISO 21940-11 lets an empty rotor of a grade keep: for comparison, it names no drum."""
    from wizard.measure.mechanics import rotating

    grade = number(settings, "grade") * 1000
    allowed = rotating.permissible_unbalance(grade, rpm, number(settings, "drum")).unbalance
    times = bag * number(settings, "radius") / allowed
    lines = f"It is {times:.2g} times what an empty drum balanced to G {grade:g} keeps"
    return f"{lines} (ISO 21940-11, which names no drum: for comparison)"


def slip_unbalance(inputs: Inputs, settings: Settings) -> list[Value]:
    """The unbalance, kg at the drum's rim, at which a machine of that kind slips at its spin speed on that floor."""
    from wizard.measure.mechanics import rotating, walking

    machine = usual(number(settings, "kind"))
    if machine is None:
        raise ValueError("kind: this machine is built otherwise; see the maker's sheet")
    weighed, grip = inputs.get("mass", ()), number(settings, "grip")
    whole = weighed[0].mean if weighed else machine.whole
    slides = walking.slip_force(whole, grip, machine.axis)
    hold = slides - 4 / math.pi * machine.friction
    one = walking.at_speed(
        machine.rpm, 1.0, machine.radius, machine.hung, machine.stiffness, machine.viscous, whole, grip,
        axis=machine.axis,
    )  # fmt: skip
    slips = max(0.0, hold / one.transmitted)
    spread = (
        slides / one.transmitted * math.hypot(_GRIP_U, weighed[0].uncertainty / whole if weighed else _MASS_U)
    )
    ratio = machine.rpm / 60 / machine.bounce
    zeta = machine.viscous / 2 / math.sqrt(machine.stiffness * machine.hung)
    orbit = rotating.unbalance_response(ratio, zeta) * slips * machine.radius / machine.hung
    lines = f"at {machine.rpm:.0f} rpm, friction {grip:.2g}; the tub then circles by {orbit * 1000:.0f} mm"
    return [
        Value("slides at", slips, spread, says=f"{lines}. It turns on the spot earlier: keep half in reserve")
    ]


ROWS = (
    Calculator(
        "bag-pull",
        "the force with which a bag at the drum's rim pulls at a spin speed, the machine's own where that is less; "
        "with the kind, what of it reaches the floor, at how many times that it slips, and the bag against a balance "
        "grade of ISO 21940-11, which names none for a washer's drum",
        {"mass": Input("mass", "the bag, wet")},
        "force",
        "N",
        {
            "radius": Setting("mm", "of the drum", 100, 400, 240),
            "speed": Setting("rpm", "of the spin", 50, 2000, 800),
            "grade": Setting("mm/s", "balance grade to compare with, G", 0.4, 4000, 40),
            "drum": Setting("kg", "mass of the empty drum; estimate", 1, 60, 10),
        },
        {"kind": KINDS, "grip": GRIP},
        compute=bag_pull,
    ),
    Calculator(
        "slip-unbalance",
        "the unbalance at the drum's rim at which a machine of that kind slips at its spin speed",
        {"mass": Input("mass", "the machine, where its mass is known", optional=True)},
        "mass",
        "kg",
        choices={"kind": KINDS, "grip": GRIP},
        compute=slip_unbalance,
    ),
)
