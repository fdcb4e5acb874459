"""Calculators of what turns: play and run-out by the clock, the rundown."""

from __future__ import annotations

from wizard.flow.calculators.form import Calculator, Input

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
        "rundown-speed",
        "the speed a drum had at the push, if it slowed evenly: 2 turns / time; how long a push of 60 rpm would run",
        {
            "turns": Input("count", "turns until it stood"),
            "seconds": Input("time", "time until it stood"),
        },
        "frequency",
        "rpm",
    ),
)
