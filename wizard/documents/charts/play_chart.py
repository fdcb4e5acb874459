"""Play against the angle, unrolled: a dot a reading, and the line that decides whether it varies or is even."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wizard.documents.charts.canvas import Mark, PlotFrame, draw, line
from wizard.documents.document_tree import Chart
from wizard.measure.mechanics import runout
from wizard.measure.quantities import units

_HOURS = ("12", "3", "6", "9", "12")


def play_chart(
    readings: Sequence[float], unit: str, uncertainty: float = 0.0, columns: int = 48, rows: int = 9,
    plain: bool = False,
) -> Chart:  # fmt: skip
    """Five or more readings (SI, not negative) at equal angles, with the level (even) or the wave (varies) in them.

    ``uncertainty``: standard, of one reading; drawn as a bar of twice that to both sides. ValueError naming the
    argument. Source: ``runout.play``.
    """
    found = runout.play(readings, uncertainty=uncertainty)
    angles = [*runout.clock(len(readings)), math.tau]
    values = [*readings, readings[0]]
    top = max(max(values), 1e-9) * 1.15 + 2 * uncertainty
    frame = PlotFrame(columns, rows, -0.15, math.tau + 0.15, 0.0, top)
    wave = found.amplitude if found.kind is runout.PlayKind.VARIES else 0.0
    dots = [
        (a, found.mean + wave * math.cos(a - found.angle)) for a in (math.tau * n / 200 for n in range(201))
    ]
    for angle, value in zip(angles, values, strict=True):
        dots += line((angle, max(0.0, value - 2 * uncertainty)), (angle, value + 2 * uncertainty), 12)
    marks = [Mark((a, v), "o" if plain else "●") for a, v in zip(angles, values, strict=True)]
    body = draw(frame, dots, marks, plain)
    scaled = _with_scale(body, top, unit)
    under = " " * (scaled[0].index("|") + 1) + _hours(frame)
    return Chart((*scaled, under), (_words(found, unit, uncertainty),))


def _with_scale(body: Sequence[str], top: float, unit: str) -> tuple[str, ...]:
    """The picture with its largest value and 0 at the left."""
    labels = ["" for _ in body]
    labels[0], labels[-1] = f"{units.from_si(top, unit):.2g} {unit}", f"0 {unit}"
    wide = max(map(len, labels))
    return tuple(f"{label:>{wide}} |{row}" for label, row in zip(labels, body, strict=True))


def _hours(frame: PlotFrame) -> str:
    """The hours under the picture."""
    cells = [" "] * (frame.columns + 2)
    for n, hour in enumerate(_HOURS):
        at = frame.cell((math.tau * n / 4, 0.0))[0]
        for offset, character in enumerate(hour):
            if at + offset < len(cells):
                cells[at + offset] = character
    return "".join(cells).rstrip()


def _words(found: runout.Play, unit: str, u: float) -> str:
    chance = f"By chance as much: {times(found.p_value)}."
    if found.kind is runout.PlayKind.EVEN:
        return f"Even, {units.brief(found.mean, unit, u)} all round. {chance}"
    return f"Varies by {units.brief(found.variation, unit, u)} with the angle. {chance}"


def times(chance: float) -> str:
    """'7 times in 100', '1 time in 100', 'under 1 time in 1000': how often chance alone does as much."""
    if chance < 0.001:
        return "under 1 time in 1000"
    if chance < 0.0095:
        return f"{1000 * chance:.0f} time{'s' * (round(1000 * chance) != 1)} in 1000"
    hundred = round(100 * chance)
    return f"{hundred} time{'s' * (hundred != 1)} in 100"
