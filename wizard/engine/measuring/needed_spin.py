"""Whether a recording shows the spin that its step needs: where it doesn't, it answers nothing and proves nothing."""

from __future__ import annotations

from wizard.engine.measuring.spin_speeds import spin_speeds, unlike
from wizard.engine.messages.spin_record import SpinRecord
from wizard.flow.model import RecordStep

AGAIN = "Record a whole spin."
"""What is to be done where a recording shows none."""


def lacking(step: RecordStep, record: SpinRecord, before: SpinRecord | None = None) -> str:
    """Return a sentence or two on why a recording shows no such spin as its step needs; empty where it does.

    ``before``: the recording that it is set beside. Where that shows such a spin, this one must have spun at its
    speed; one of a machine that gave up before it is no measure.
    """
    if step.spin_rpm is None:
        return ""
    seconds = sum(speed.seconds for speed in spin_speeds(record) if speed.rpm >= step.spin_rpm)
    if seconds >= step.spin_seconds:
        return unlike(before, record) if before is not None and not lacking(step, before) else ""
    most = max((*record.speeds, *(s.speed for s in record.stretches)), default=0.0)
    if most <= 0:
        return f"No spin is seen in it: no drum is seen to turn. {AGAIN}"
    if most < step.spin_rpm:
        return (
            f"No spin is seen in it: {most:.0f} rpm at most, a spin has {step.spin_rpm:.0f} or more. {AGAIN}"
        )
    if seconds <= 0:
        return f"No steady spin is seen in it, though the drum came to {most:.0f} rpm. {AGAIN}"
    return (
        f"Too short a spin is seen in it: {seconds:.0f} s at {step.spin_rpm:.0f} rpm or more, "
        f"{step.spin_seconds:.0f} are needed. {AGAIN}"
    )


def turns(record: SpinRecord) -> bool:
    """Return whether a drum is seen to turn in it at all."""
    return any(speed > 0 for speed in record.speeds) or any(s.speed > 0 for s in record.stretches)
