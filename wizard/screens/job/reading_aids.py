"""What a measuring aid opens for the reading on screen: stopwatch, counter, falling voltage, recordings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.domain.vocabulary import Aid
from wizard.engine.measuring import judging
from wizard.engine.measuring.judging import Slot
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.decay_record import DecayFit
from wizard.screens.layout.controller import AttachRecording
from wizard.screens.layout.panel import Panel
from wizard.screens.text.step_text import cautions_of
from wizard.screens.viewmodels import timers

if TYPE_CHECKING:
    from wizard.screens.job.reading_screen import ReadingScreen


def aid_panel(screen: ReadingScreen) -> Panel[str] | None:
    """The panel of the step's aid, which ends with a text for the field; None where it has none."""
    from wizard.screens.aids import bleed, stopwatch, tap_counter

    warned, reading = cautions_of(screen.current.inspection, screen.current.step, False), screen.reading
    match screen.measured.aid:
        case Aid.STOPWATCH:
            return stopwatch.StopwatchPanel(warned)
        case Aid.TAPS:
            metric = "mm" if screen.host.system == "metric" else "in"
            counts, tool = tap_counter.counting(reading.unit), screen.controller.flow.tools[reading.tool]
            own = timers.TAPPING if counts else tool.uncertainty
            return tap_counter.TapsPanel(counts, metric, warned, own)
        case Aid.BLEED:
            limit = judging.limit_of(screen.controller.view, screen.current.step)
            safe = timers.safe_volts([b.top for b in limit.bands] if limit else [])
            return bleed.BleedPanel(safe, warned)
    return None


def open_recording(screen: ReadingScreen, slot: Slot) -> None:
    """Open the panel of recordings; what it ends with is kept, and is the reading of the slot."""
    from wizard.screens.aids.recording_fit_panel import Fitted
    from wizard.screens.aids.recording_panel import RecordingPanel
    from wizard.screens.viewmodels.recording_lines import means

    run, step, host = screen.current.run.id, screen.current.step.id, screen.host

    def take(ended: Fitted) -> None:
        where = (slot.item, slot.way, slot.repeat)
        command = cmd.TakeRecording(run, step, ended.found, ended.source.name, "", "", *where)
        host.act(AttachRecording(ended.source, ended.sha256, command))

    def verdict(found: DecayFit) -> str:
        return means(screen.controller.view, screen.current.step, found)

    warned = cautions_of(screen.current.inspection, screen.current.step, False)
    host.ask(RecordingPanel(host.store.home.recordings, verdict, warned), take)
