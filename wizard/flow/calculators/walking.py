"""Calculators of the spin: the pull of a bag, and what makes a machine slip."""

from __future__ import annotations

from wizard.flow.calculators.form import Calculator, Choice, Input, Setting

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
    ),
    Calculator(
        "slip-unbalance",
        "the unbalance at the drum's rim at which a machine of that kind slips at its spin speed",
        {"mass": Input("mass", "the machine, where its mass is known", optional=True)},
        "mass",
        "kg",
        choices={"kind": KINDS, "grip": GRIP},
    ),
)
