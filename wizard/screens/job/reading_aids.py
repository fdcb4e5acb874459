"""What a measuring aid opens for the reading on screen: stopwatch, counter, falling voltage, recordings."""

from __future__ import annotations

from wizard.domain.vocabulary import Aid
from wizard.engine.measuring.judging import Slot
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.decay_record import DecayFit
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.layout.app_protocol import Host
from wizard.screens.layout.controller import AttachRecording
from wizard.screens.layout.panel import Panel
from wizard.screens.text.step_sentences import cautions_of
from wizard.screens.viewmodels.reading import timers
from wizard.screens.viewmodels.reading.step_readings import StepReadings


def aid_panel(host: Host, readings: StepReadings) -> Panel[str] | None:
    """The panel of the step's aid, which ends with a text for the field; None where it has none."""
    from wizard.screens.aids import bleed, stopwatch, tap_counter

    warned = cautions_of(readings.current.inspection, readings.step, False)
    match readings.step.aid:
        case Aid.STOPWATCH:
            return stopwatch.StopwatchPanel(warned)
        case Aid.TAPS:
            metric = "mm" if host.system is UnitSystem.METRIC else "in"
            counts, tool = tap_counter.counting(readings.reading.unit), readings.tool
            own = timers.TAPPING if counts else tool.uncertainty
            return tap_counter.TapsPanel(counts, metric, warned, own)
        case Aid.BLEED:
            limit = readings.current.limit
            safe = timers.safe_volts([b.top for b in limit.bands] if limit else [])
            return bleed.BleedPanel(safe, warned)
    return None


def open_recording(host: Host, readings: StepReadings, slot: Slot) -> None:
    """Open the panel of recordings; what it ends with is kept, and is the reading of the slot."""
    from wizard.screens.aids.recording_fit_panel import Fitted
    from wizard.screens.aids.recording_panel import RecordingPanel
    from wizard.screens.viewmodels.reading.recording_lines import means

    run, step = readings.current.run.id, readings.step.id

    def take(ended: Fitted) -> None:
        where = (slot.item, slot.way, slot.repeat)
        command = cmd.TakeRecording(run, step, ended.found, ended.source.name, "", "", *where)
        host.act(AttachRecording(ended.source, ended.sha256, command))

    def verdict(found: DecayFit) -> str:
        return means(host.controller.view, readings.step, found)

    warned = cautions_of(readings.current.inspection, readings.step, False)
    host.ask(RecordingPanel(host.store.home.recordings, verdict, warned), take)
