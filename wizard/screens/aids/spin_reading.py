"""What the recording of a spin in a file says, or what is wrong with the file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from wizard.domain.recording_vocabulary import RecordingPlace
from wizard.engine.messages.spin_record import SpinRecord
from wizard.engine.messages.spin_setting import SpinSetting
from wizard.flow.model import RecordStep


def read_spin(
    path: Path, step: RecordStep, setting: SpinSetting, going: Callable[[float], None] | None = None
) -> tuple[SpinRecord, str] | str:
    """What the recording in a file says, with its SHA-256; or what is wrong with it, a line for the message line.

    ``setting``: what was said of it; where nobody said where the phone lay, it is what the step says for its kind.
    """
    from wizard.engine.messages.spin_record import spin_record
    from wizard.foreign.harmless import harmless
    from wizard.recordings.spin_report import spin_report  # late: numpy

    try:
        report = spin_report(path, setting.plate, setting.bearing or None, going, step.bearings)
    except ValueError as problem:
        return str(problem)
    except OSError as error:
        return f"{harmless(path.name)}: can't be read ({error.strerror or error}). Look at its name."
    kind = report.signal.kind
    if setting.place is RecordingPlace.NOT_SAID:
        setting = replace(setting, place=step.places.get(kind, RecordingPlace.NOT_SAID))
    return spin_record(report, setting), report.signal.sha256
