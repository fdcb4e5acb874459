"""Calculators of how the tub is held: dampers, springs, its bounce."""

from __future__ import annotations

from wizard.flow.calculators.form import Calculator, Input, Setting

ROWS = (
    Calculator(
        "drag-spread",
        "how far the dampers differ, as a share of their mean: the drag of each is the mean of out and in",
        {"pulls": Input("force", "pulls of each damper, out and in", many=True, least=2, ways=2)},
        "ratio",
        "%",
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
    ),
    Calculator(
        "sway-speed",
        "the spin speed at which the tub sways most, from the time of one swing",
        {"period": Input("time", "the time of one whole swing, up and down")},
        "frequency",
        "rpm",
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
    ),
)
