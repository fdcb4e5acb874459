"""Calculators of what turns: play and run-out by the clock, the pull of a bag, the rundown."""

from __future__ import annotations

from wizard.flow.calculators.form import Calculator, Input, Setting

_CLOCK = "readings at equal angles round the rim, in order"

ROWS = (
    Calculator(
        "play-by-clock",
        "how much the play changes with the angle, beyond what the tool and chance alone would give",
        {"readings": Input("length", _CLOCK, many=True, least=5)},
        "length",
        "mm",
    ),
    Calculator(
        "run-out",
        "run-out over one turn (largest less smallest), with what is eccentric and what is oval in it",
        {"readings": Input("length", _CLOCK, many=True, least=5)},
        "length",
        "mm",
    ),
    Calculator(
        "bag-pull",
        "the force with which a bag at the drum's rim pulls at a spin speed",
        {"mass": Input("mass", "the bag, wet")},
        "force",
        "N",
        {
            "radius": Setting("mm", "of the drum", 100, 400, 240),
            "speed": Setting("rpm", "of the spin", 50, 2000, 800),
        },
    ),
    Calculator(
        "rundown-speed",
        "the speed a drum had at the push, if it slowed evenly: 2 turns / time",
        {
            "turns": Input("count", "turns until it stood"),
            "seconds": Input("time", "time until it stood"),
        },
        "frequency",
        "rpm",
    ),
)
