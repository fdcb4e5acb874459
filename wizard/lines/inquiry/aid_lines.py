"""What helps to measure, by lines: the stopwatch and the counter by the moments of Enter, the falling voltage."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from wizard.domain.vocabulary import Aid
from wizard.lines.terminal.line_asking import within
from wizard.lines.terminal.line_host import LineHost
from wizard.measure.quantities import units
from wizard.screens.text.shared_sentences import TWO_TAPS, UNSIGNED_VOLTAGE, VOLTAGE_FIRST
from wizard.screens.text.step_sentences import cautions_of, gravest_first
from wizard.screens.viewmodels.reading import timers
from wizard.screens.viewmodels.reading.step_readings import StepReadings
from wizard.screens.viewmodels.reading.timers import Bleed, Stopwatch, Taps, bleeding

DONE = "done"
"""What ends the counting of swings."""


def aided(host: LineHost, readings: StepReadings) -> str:
    """What the step's aid ends with, as a text for the reading; empty where it was left."""
    host.talk.out.gap()
    for caution in gravest_first(cautions_of(readings.current.inspection, readings.step, False)):
        host.say(f"{caution.word.upper()}: {caution.says}")
    match readings.step.aid:
        case Aid.STOPWATCH:
            return _timed(host, _stopwatch)
        case Aid.TAPS:
            counts = units.dimension(readings.reading.unit) == "count"
            own = timers.TAPPING if counts else readings.tool.uncertainty
            return _timed(host, lambda host: _taps(host, counts, own))
        case Aid.BLEED:
            limit = readings.current.limit
            return _bleed(host, Bleed(timers.safe_volts([b.top for b in limit.bands] if limit else [])))
    return ""


def _timed(host: LineHost, aid: Callable[[LineHost], str]) -> str:
    """An aid that measures by the moments of the lines."""
    host.talk.timing = True
    try:
        return aid(host)
    finally:
        host.talk.timing = False


def _stopwatch(host: LineHost) -> str:
    """Started by Enter and stopped by Enter."""
    about = "Enter starts the stopwatch, and Enter stops it. back leaves it."
    host.say(about)
    watch = Stopwatch()
    for prompt in ("Enter starts", "It runs. Enter stops"):
        if within(host.talk, f"{prompt}, or back", about, False) is None:
            return ""
        watch = watch.press(host.talk.moment)
    return f"{watch.seconds(host.talk.moment):.1f} s"


def _taps(host: LineHost, counts: bool, own: float) -> str:
    """Enter at the top of each swing; 'done' ends it."""
    about = "Press Enter at the top of each swing; type done after the last. Type 0 to begin again, back to leave it."
    host.say(about)
    taps = Taps()
    while True:
        text = within(host.talk, "Enter at the top, or done", about, False)
        if text is None:
            return ""
        if text == "0":
            taps = Taps()
        elif not text:
            taps = taps.tap(host.talk.moment)
        elif text.lower() != DONE:
            host.say(about)
        elif taps.swings:
            host.talk.rows(taps.words(own))
            return str(taps.swings) if counts else f"{taps.period:.3f} s"
        else:
            host.say(f"Press Enter {TWO_TAPS}")


def _bleed(host: LineHost, bleed: Bleed) -> str:
    """Voltages one after the other; Enter alone takes the last one."""
    about = (
        "Type the voltage; a minute later do it again, and the wait that is left is said. With one reading the parts "
        "tell as much: 220 kohm 470 uF. It is no proof: only a reading is. Enter alone takes the last voltage. back "
        "leaves it."
    )
    host.say(about)
    while True:
        host.say(bleed.words(host.clock.mono()))
        text = within(host.talk, "Voltage, or Enter takes the last, or back", about, False)
        if text is None:
            return ""
        if not text and bleed.read:
            return units.text(bleed.read[-1][1], "V")
        if not text:
            host.say(VOLTAGE_FIRST)
            continue
        try:
            volts = units.parse(text, "V")
        except ValueError as problem:
            try:
                bleed = replace(bleed, parts=bleeding(text))
            except ValueError:
                host.say(str(problem).removeprefix("text: "))
            continue
        if volts < 0:
            host.say(UNSIGNED_VOLTAGE)
        else:
            bleed = bleed.add(host.talk.moment, volts)
