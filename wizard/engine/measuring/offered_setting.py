"""How a spin was recorded, as far as the job tells it: by the step, by the plate's fact, by what was typed earlier."""

from __future__ import annotations

from wizard.domain.recording_vocabulary import RecordingPlace, SignalKind
from wizard.engine.messages.spin_setting import SpinSetting, plate_of
from wizard.engine.state.job_state import State
from wizard.flow.model import RecordStep


def offered_setting(state: State, step: RecordStep, signal: SignalKind | None = None) -> SpinSetting:
    """Return what is taken for said of a recording until somebody says otherwise; ``signal``: once it is known."""
    earlier = [kept.spin.setting for kept in state.spins]
    place = step.places.get(signal, RecordingPlace.NOT_SAID) if signal else RecordingPlace.NOT_SAID
    plate = _of_fact(state, step) or next((s.plate_rpm for s in reversed(earlier) if s.plate_rpm), 0.0)
    bearing = next((s.bearing for s in reversed(earlier) if s.bearing), "")
    return SpinSetting(step.load, place, plate, bearing)


def _of_fact(state: State, step: RecordStep) -> float:
    """Return the plate's top speed as the machine's fact has it, rpm; 0 where it has none that is one."""
    try:
        return plate_of(state.facts.get(step.plate or "", ""))
    except ValueError:
        return 0.0
