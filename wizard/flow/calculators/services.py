"""Calculators of what comes into the machine: water and stored electricity."""

from __future__ import annotations

from wizard.flow.calculators.form import Calculator, Input, Setting

ROWS = (
    Calculator(
        "hose-age",
        "years since the hose was made, on the day of the visit",
        {"made": Input("count", "the year printed on the hose or its ferrule, as a number")},
        "time",
        "years",
        today=True,
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
    ),
)
