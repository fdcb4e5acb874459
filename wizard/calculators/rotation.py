"""Calculators of what turns: play and run-out by the clock, the rundown."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wizard.calculators.declaration import Calculator, ChartKind, Input
from wizard.calculators.values import Inputs, Settings, Value, means, typical

_CLOCK = "readings at equal angles round the rim, in order"


_PUSH = 60.0
"""The push, rpm, that rundowns are compared at: what a firm one gives (estimate)."""


def clock_words(angle: float) -> str:
    """An angle clockwise from the top, in radians, as people say it: 'near 3 o'clock', to the half hour."""
    half_hours = round(angle / math.tau * 24) % 24
    hour = half_hours // 2 or 12
    return f"near {hour}:30" if half_hours % 2 else f"near {hour} o'clock"


def play_by_clock(inputs: Inputs, _settings: Settings) -> list[Value]:
    """How much the play changes with the angle.

    Where chance and the tool explain it (``runout.play`` says 'even'), the value is the small once-a-turn part, twice
    its amplitude, with the uncertainty that it has; where it varies, largest less smallest.
    """
    from wizard.measure.mechanics import runout

    readings = inputs["readings"]
    found = runout.play(means(readings), uncertainty=typical(readings))
    chance = "under 0.001" if found.p_value < 0.001 else f"{found.p_value:.2g}"
    if found.kind is runout.PlayKind.VARIES:
        says = f"varies, most {clock_words(found.angle)}; by chance alone: {chance}"
        return [Value("play", found.variation, math.hypot(*_ends(readings)), says=says)]
    u = 2 * typical(readings) * math.sqrt(2 / len(readings))
    return [Value("play", 2 * found.amplitude, u, says=f"even at every angle; by chance alone: {chance}")]


def _ends(readings: Sequence[Value]) -> tuple[float, float]:
    """The uncertainties of the largest and the smallest reading."""
    ends = max(readings, key=lambda v: v.mean), min(readings, key=lambda v: v.mean)
    return ends[0].uncertainty, ends[1].uncertainty


def run_out(inputs: Inputs, _settings: Settings) -> list[Value]:
    """Run-out over one turn, judged; what is eccentric and oval in it, only shown."""
    from wizard.measure.mechanics import runout

    readings = inputs["readings"]
    found = runout.harmonics(means(readings))
    # Each amplitude is a least squares coefficient over n equal angles: u sqrt(2 / n).
    part_u = typical(readings) * math.sqrt(2 / len(readings))
    where = clock_words(found.eccentricity_angle)
    return [
        Value("run-out", found.tir, math.hypot(*_ends(readings))),
        Value("eccentric", found.eccentricity, part_u, 1, judged=False, says=f"high {where}"),
        Value("oval", found.ovality, part_u, 2, judged=False),
    ]


def rundown_speed(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The speed (Hz) at the push; and how long it would run from a push of 60 rpm, so that a weak one is no
    excuse.
    """
    from wizard.measure.mechanics import rotating

    turns, seconds = inputs["turns"][0], inputs["seconds"][0]
    found = rotating.rundown(turns.mean, seconds.mean)
    hertz = found.start / 60
    shares = (turns.uncertainty / turns.mean, seconds.uncertainty / seconds.mean)
    # Its drag for each unit of inertia is the even loss of speed, rad/s2.
    even = rotating.rundown_time(
        _PUSH, inertia=1.0, friction_torque=rotating.angular_speed(found.deceleration)
    )
    says = f"as firm a push as {_PUSH:.0f} rpm would run for {even:.1f} s"
    return [Value("speed at the push", hertz, hertz * math.hypot(*shares), says=says)]


ROWS = (
    Calculator(
        "play-by-clock",
        "how much the play changes with the angle, beyond what the tool and chance alone would give",
        {"readings": Input("length", _CLOCK, many=True, least=5)},
        "length",
        "mm",
        compute=play_by_clock,
        drawn_as=ChartKind.PLAY,
    ),
    Calculator(
        "run-out",
        "run-out over one turn (largest less smallest), with what is eccentric and what is oval in it",
        {"readings": Input("length", _CLOCK, many=True, least=5)},
        "length",
        "mm",
        compute=run_out,
        drawn_as=ChartKind.RIM,
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
        compute=rundown_speed,
    ),
)
