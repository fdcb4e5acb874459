"""Calculators of parts to be ordered."""

from __future__ import annotations

from wizard.flow.calculators.form import Calculator, Input, Setting

ROWS = (
    Calculator(
        "bearing-size",
        "bore, outside and width of a deep groove ball bearing by the number on its seal (ISO 15: 60, 62 and 63, bores "
        "10 to 40 mm), whether the shaft fits it, its play when new (ISO 5753-1), and how often it clicks a turn "
        "when a part of it is bad",
        {
            "designation": Input("count", "the number on the seal, without its letters"),
            "shaft": Input("length", "the shaft where the bearing sits", optional=True),
        },
        "length",
        "mm",
        {"balls": Setting("count", "how many balls it is reckoned with; estimate", 3, 40, 9)},
    ),
)
