"""What the recording of a spin in a file says, or what is wrong with the file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from wizard.engine.messages.spin_record import SpinRecord


def read_spin(
    path: Path, bearings: tuple[str, ...], going: Callable[[float], None] | None = None
) -> tuple[SpinRecord, str] | str:
    """What the recording in a file says, with its SHA-256; or what is wrong with it, a line for the message line."""
    from wizard.engine.messages.spin_record import spin_record
    from wizard.foreign.harmless import harmless
    from wizard.recordings.spin_report import spin_report  # late: numpy

    try:
        report = spin_report(path, going=going, bearings=bearings)
    except ValueError as problem:
        return str(problem)
    except OSError as error:
        return f"{harmless(path.name)}: can't be read ({error.strerror or error}). Look at its name."
    return spin_record(report), report.signal.sha256
