"""What a journal says of a recording, computed anew from the file that is kept with the session.

Whoever alters a figure in the journal can alter what follows from it too; the file it came from says what it was.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from wizard.engine.messages.decay_record import DecayFit, decay_fit
from wizard.engine.messages.events import RecordingTaken, SpinRecorded
from wizard.engine.messages.spin_record import ANALYSIS, SpinRecord, spin_record
from wizard.engine.messages.spin_setting import SpinSetting

SAME = 1e-3
"""How far a number may be from the one computed anew, as a share of it: libraries round otherwise from one computer to
another."""

LEAST = 1e-9
"""A difference below this is none."""

NO_CHOICES = (
    "Its fit can't be computed anew: the version that took it didn't keep column and stretch. The figures in the "
    "journal are all that is left of that."
)
OTHER_ANALYSIS = (
    "Its figures aren't computed anew: another version of the program analysed it, by other rules. "
    "Its bytes were checked."
)

_WORDS = frozenset({"says", "by", "place", "doubts"})
"""Sentences of a spin's record: another version of the program may word them otherwise."""


def departs(path: Path, event: RecordingTaken | SpinRecorded, bearings: tuple[str, ...], worded: bool) -> str:
    """A sentence on what the journal's event says otherwise than its file, empty where it follows from it, or can't be
    told: an earlier version kept no choices of a fit.

    ``path``: the file, whose bytes are those that were kept. ``bearings``: those that the step looks for in a spin.
    ``worded``: the sentences must be the same too, as this version of the program wrote them.
    """
    if unproved(event):
        return ""
    where = f"event {event.kind}, recording {event.name}"
    try:
        if isinstance(event, RecordingTaken):
            found = difference(event.found, _decay(path, event.found), worded)
        else:
            found = difference(event.spin, _spin(path, bearings, event.spin.setting), worded)
    except (ValueError, OSError, IndexError) as problem:
        return f"{where}: nothing that the journal says of it can be computed from its file: {problem}"
    return f"{where}: {found}" if found else ""


def unproved(event: RecordingTaken | SpinRecorded) -> str:
    """A sentence on why what an event says of its file isn't computed anew; empty where it is."""
    if isinstance(event, RecordingTaken):
        return "" if event.found.chosen else NO_CHOICES
    return "" if event.spin.analysis == ANALYSIS else OTHER_ANALYSIS


def difference(kept: DecayFit | SpinRecord, anew: DecayFit | SpinRecord, worded: bool) -> str:
    """The first thing in which what is kept of a recording is not what was computed anew, as a sentence, or empty."""
    for key, (was, now) in _differences(asdict(kept), asdict(anew)):
        if worded or key not in _WORDS:
            what = key.replace("_", " ")
            return f"its {what} doesn't follow from its file: {was} in the journal, {now} anew."
    return ""


def _decay(path: Path, kept: DecayFit) -> DecayFit:
    from wizard.measure.vibration import decay_detection, recording_file  # late: numpy, scipy

    recording = recording_file.load(path)
    if kept.time_unit != recording.time_unit:
        recording = recording.with_units(time=kept.time_unit)
    if kept.unit != recording.columns[kept.number].unit:
        recording = recording.with_units(column=kept.number, value=kept.unit)
    stretch = decay_detection.Decay(kept.from_reading, kept.to_reading, kept.period)
    return decay_fit(recording, kept.number, decay_detection.decay_report(recording, kept.number, stretch))


def _spin(path: Path, bearings: tuple[str, ...], setting: SpinSetting) -> SpinRecord:
    """What the file says, by the plate and the bearing that were typed."""
    from wizard.recordings.spin_report import spin_report  # late: numpy, scipy

    report = spin_report(path, setting.plate, setting.bearing or None, bearings=bearings)
    return spin_record(report, setting)


def _differences(kept: Any, anew: Any, key: str = "content") -> Iterator[tuple[str, tuple[Any, Any]]]:
    """Every place where two records differ, with both values; ``key``: the nearest name above it."""
    if isinstance(kept, Mapping) and isinstance(anew, Mapping):
        for name in kept:
            yield from _differences(kept[name], anew[name], name)
    elif isinstance(kept, tuple | list) and isinstance(anew, tuple | list):
        if len(kept) != len(anew):
            yield key, (f"{len(kept)} of them", f"{len(anew)} of them")
            return
        for one, other in zip(kept, anew, strict=True):
            yield from _differences(one, other, key)
    elif not _same(kept, anew):
        yield key, (kept, anew)


def _same(kept: Any, anew: Any) -> bool:
    if isinstance(kept, float) and isinstance(anew, float):
        return math.isclose(kept, anew, rel_tol=SAME, abs_tol=LEAST)
    return bool(kept == anew)
