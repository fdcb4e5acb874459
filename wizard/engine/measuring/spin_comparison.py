"""Two recorded spins of one machine set beside each other, phase by phase: before a repair, and after it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wizard.domain.recording_vocabulary import SignalKind, SpinPhase
from wizard.engine.messages.spin_record import KeptStretch, SpinRecord
from wizard.engine.state.job_state import SpinRecording, State
from wizard.flow.model import RecordStep

SCALE = 0.03
"""Of a level, of either recording: how well a phone's scale and its place come again (common practice)."""

COMPARED = (SpinPhase.RAMP, SpinPhase.SPIN, SpinPhase.COAST)
_WORDS = {SpinPhase.RAMP: "In the ramp", SpinPhase.SPIN: "In the spin", SpinPhase.COAST: "Coasting down"}


@dataclass(frozen=True, slots=True)
class PhaseDifference:
    """How loud one phase was ``before`` and ``after``, m/s2 rms; ``difference`` is after less before, with its standard
    ``uncertainty``.
    """

    phase: SpinPhase
    before: float
    after: float
    difference: float
    uncertainty: float

    @property
    def clear(self) -> bool:
        """True where the two recordings tell a difference: more than twice its uncertainty."""
        return abs(self.difference) > 2 * self.uncertainty

    @property
    def says(self) -> str:
        """It in a sentence."""
        size, known = f"{abs(self.difference):.2f}", f"± {self.uncertainty:.2f}"
        which = "less" if self.difference < 0 else "more"
        end = (
            f"{size} {which} ({known})"
            if self.clear
            else f"no clear difference ({self.difference:+.2f} {known})"
        )
        return f"{_WORDS[self.phase]} it shook at {self.before:.2f} m/s2 rms before, {self.after:.2f} after: {end}."


def differences(before: SpinRecord, after: SpinRecord) -> tuple[PhaseDifference, ...]:
    """Return each phase that both have; none of sounds, which have no scale that comes again."""
    if SignalKind.SOUND in (before.signal, after.signal) or not (before.unit == after.unit == "m/s2"):
        return ()
    found = []
    for phase in COMPARED:
        one, other = _level(before.stretches, phase), _level(after.stretches, phase)
        if one is not None and other is not None:
            (was, was_u), (now, now_u) = one, other
            known = math.hypot(was_u, now_u, SCALE * was, SCALE * now)
            found.append(PhaseDifference(phase, was, now, now - was, known))
    return tuple(found)


def _level(stretches: Sequence[KeptStretch], phase: SpinPhase) -> tuple[float, float] | None:
    """Return the rms of all stretches of a phase together, with its standard uncertainty; None where there is none."""
    mine = [s for s in stretches if s.phase is phase]
    seconds = sum(s.end - s.start for s in mine)
    if not mine or seconds <= 0:
        return None
    rms = math.sqrt(sum(s.rms**2 * (s.end - s.start) for s in mine) / seconds)
    known = math.hypot(*(s.rms_u * (s.end - s.start) for s in mine)) / seconds
    return rms, known


def recorded_before(state: State, step: RecordStep) -> SpinRecording | None:
    """The last recording of the step that this one is set beside, as far as its answer still counts."""
    counts = {given.recording for given in state.answer_records if not given.aside}
    return next((k for k in reversed(state.spins) if k.ref == step.before and k.seq in counts), None)
