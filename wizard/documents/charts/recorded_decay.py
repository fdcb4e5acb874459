"""A recorded decay of a session, drawn from what its event holds: no file is read and nothing is fitted."""

from __future__ import annotations

import math

from wizard.documents.charts import decay_chart
from wizard.documents.document_tree import Chart
from wizard.domain.measure_vocabulary import DampingKind, MotionQuantity
from wizard.engine.messages.decay_record import DecayFit
from wizard.measure.damping.decay_model import Swing
from wizard.measure.damping.ringdown import Ringdown
from wizard.measure.damping.settling import EYE, PUSH

_UNITS = {MotionQuantity.ACCELERATION: "m/s2", MotionQuantity.DISPLACEMENT: "mm"}


def recorded_decay(found: DecayFit, columns: int = 56, rows: int = 11, plain: bool = False) -> Chart:
    """What was recorded as marks, the fitted curve as dots, and the words of the fit."""
    drawn = decay_chart.record(
        found.times, found.values, fit_of(found), _UNITS[found.quantity], columns, rows, plain
    )
    return Chart(drawn.lines, (*drawn.words, *settles_words(found)))


def fit_of(found: DecayFit) -> Ringdown:
    """The fit that an event holds."""
    omega = math.tau * found.frequency
    swing = Swing(found.start, found.pace, omega, found.damping_ratio, found.friction_offset, found.rest)
    return Ringdown(
        frequency=found.frequency, damping_ratio=found.damping_ratio, friction_share=found.friction_share,
        kind=found.damping, frequency_u=found.frequency_u, damping_ratio_u=found.damping_ratio_u,
        friction_offset=found.friction_offset, rest=found.rest, amplitude=found.amplitude, residual=found.residual,
        begins=found.begins, swing=swing, width=found.width, level=found.level,
    )  # fmt: skip


def settles_words(found: DecayFit) -> tuple[str, ...]:
    """What the decay means: how many swings a push leaves, and the one ratio that it is judged by."""
    push, eye = PUSH * 1000, EYE * 1000
    times = "once" if found.swings == 1 else f"{found.swings} times"
    shown = f"swings past rest {times}" if found.swings else "doesn't swing past rest"
    held = f"Dry friction holds it within {found.friction_offset * 1000:.1f} mm of its rest. "
    friction = "" if found.damping is DampingKind.VISCOUS else held
    return (
        f"{friction}From a push of {push:.0f} mm it {shown} ({eye:.0f} mm seen): "
        f"settles like a damping ratio of {found.settles:.3f}.",
    )
