"""A recording of a tub that swings out, by its path: its columns, their units, the fit, and taking its number."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from wizard.engine.measuring.judging import Slot
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.decay_record import DecayFit, decay_fit
from wizard.lines.inquiry.file_choice import chosen_file
from wizard.lines.terminal.line_asking import one_of
from wizard.lines.terminal.line_host import LineHost
from wizard.measure.vibration.recording_units import CLOCK_TIME
from wizard.screens.layout.controller import AttachRecording
from wizard.screens.text.shared_sentences import SWINGS
from wizard.screens.viewmodels.questions import YesReply
from wizard.screens.viewmodels.reading import recording_lines
from wizard.screens.viewmodels.reading.step_readings import StepReadings

if TYPE_CHECKING:
    from wizard.measure.vibration.recording_file import Recording

WIDE, ROWS = 9999, 6
FIT, UNIT, TIME = "fit", "unit", "time"


def take_recording(host: LineHost, readings: StepReadings, slot: Slot) -> None:
    """Ask for the file, say what is in it, fit it, and take the number that it gives, once that was looked at."""
    host.talk.out.gap()
    host.say(f"{SWINGS}: the CSV that a phone or a logger wrote.")
    source = chosen_file(
        host.talk,
        "a recording",
        host.store.home.recordings,
        lambda folder: recording_lines.newest((folder,), True),
    )
    if source is None:
        return
    found = recording_lines.read(source)
    if isinstance(found, str):
        host.say(found)
        return
    host.say(f"{found.name}: {recording_lines.sampling(found)}")
    column = _column(host, found)
    if column is None:
        return
    recording, index = column
    fit = _fitted(recording, index)
    if isinstance(fit, str):
        host.say(fit)
        return
    _taken(host, readings, slot, source, recording, fit)


def _taken(
    host: LineHost, readings: StepReadings, slot: Slot, source: Path, recording: Recording, fit: DecayFit
) -> None:
    """Say what was fitted and by its limit; take it where that is said to be right."""
    from wizard.documents.charts.recorded_decay import recorded_decay

    host.talk.rows(recorded_decay(fit, WIDE, ROWS, True).words)
    host.say(recording_lines.means(host.controller.view, readings.step, fit))
    host.say(
        "Its picture is left out here; the full screen shows it, and can move where the fit begins and ends."
    )
    choices = ((YesReply.YES, "Take it as the reading"), (YesReply.NO, "Leave it"))
    if one_of(host.talk, choices) != YesReply.YES:
        return
    where = (slot.item, slot.way, slot.repeat)
    run, step = readings.current.run.id, readings.step.id
    command = cmd.TakeRecording(run, step, fit, source.name, "", "", *where)
    host.act(AttachRecording(source, recording.sha256, command))


def _column(host: LineHost, recording: Recording) -> tuple[Recording, int] | None:
    """Which column is fitted, the likeliest offered; its unit and that of the time can be changed first."""
    index = recording_lines.likeliest(recording)
    while True:
        host.say("Which column is fitted? All axes together serve however the phone lay.")
        columns = [(str(n), " ".join(_column_words(recording, n))) for n in range(len(recording.columns))]
        chosen = one_of(host.talk, columns, str(index))
        if chosen is None:
            return None
        index = int(chosen)
        host.talk.rows(recording_lines.doubts(recording, index, WIDE))
        unit = recording.columns[index].unit
        offers = [(FIT, "Fit it"), (UNIT, f"Read it in another unit than {unit}")]
        if recording.time_unit != CLOCK_TIME:
            offers.append((TIME, f"Read the times in another unit than {recording.time_unit}"))
        what = one_of(host.talk, offers, FIT)
        if what is None:
            return None
        if what == FIT:
            return recording, index
        recording = (
            recording_lines.other_unit(recording, index)
            if what == UNIT
            else recording_lines.other_time(recording)
        )


def _column_words(recording: Recording, index: int) -> list[str]:
    return recording_lines.column_line(recording.columns[index]).split()


def _fitted(recording: Recording, column: int) -> DecayFit | str:
    """The fit of a column, or why there is none."""
    from wizard.measure.vibration import decay_detection, swing_units

    try:
        decay = decay_detection.find(recording, column)
        report = decay_detection.decay_report(recording, column, decay)
    except ValueError as problem:
        return recording_lines.plainly(str(problem))
    doubt = swing_units.doubt_of_size(report.quantity, report.fit.amplitude, recording.columns[column].sure)
    return recording_lines.plainly(doubt) if doubt else decay_fit(recording, column, report)
