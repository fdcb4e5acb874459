"""Two recorded spins of one machine set beside each other, phase by phase: before a repair, and after it.

Motions by their levels in m/s2. Sounds have no scale that comes again, so each level is told over the rest of its own
recording. Only what was recorded of the same load at the same place, and spun at the same speed, is set beside each
other; a spin of each speed by itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wizard.domain.recording_vocabulary import DrumLoad, RecordingPlace, SignalKind, SpinPhase
from wizard.engine.measuring.figure_comparison import ROOM, figure_differences
from wizard.engine.measuring.spin_speeds import alike_in, spin_speeds, unlike
from wizard.engine.messages.spin_record import KeptStretch, SpinRecord
from wizard.engine.messages.spin_setting import LOADS, PLACES
from wizard.engine.state.job_state import SpinRecording, State
from wizard.flow.model import RecordStep

SCALE = 0.03
"""Of a level, of either recording: how well a phone's scale and its place come again (common practice)."""

COMPARED = (SpinPhase.RAMP, SpinPhase.SPIN, SpinPhase.COAST)
SOUND_NOTE = (
    "A phone's sound has no scale, and its gain may change by itself: each level is told over the rest of its own "
    "recording, never as loudness."
)
_WORDS = {SpinPhase.RAMP: "In the ramp", SpinPhase.SPIN: "In the spin", SpinPhase.COAST: "Coasting down"}


@dataclass(frozen=True, slots=True)
class PhaseDifference:
    """How loud one phase was ``before`` and ``after``, in ``unit``: m/s2 rms of a motion, of a sound dB over its own
    rest; ``difference`` is after less before, with its standard ``uncertainty``. ``rpm``: of a spin its speed after.
    """

    phase: SpinPhase
    before: float
    after: float
    difference: float
    uncertainty: float
    unit: str = "m/s2"
    rpm: float = 0.0

    @property
    def clear(self) -> bool:
        """True where the two recordings tell a difference: more than twice its uncertainty."""
        return abs(self.difference) > 2 * self.uncertainty

    @property
    def says(self) -> str:
        """It in a sentence."""
        heard = self.unit == "dB"
        form = ".0f" if heard else ".2f"
        size, known = f"{abs(self.difference):{form}}", f"± {self.uncertainty:{'.1f' if heard else form}}"
        which = "less" if self.difference < 0 else "more"
        end = (
            f"{size} {which} ({known})"
            if self.clear
            else f"no clear difference ({self.difference:+{form}} {known})"
        )
        was, now = f"{self.before:{form}}", f"{self.after:{form}}"
        where = _WORDS[self.phase] + (f" at {self.rpm:.0f} rpm" if self.rpm else "")
        if heard:
            return f"{where} it was {was} dB over its own rest before, {now} after: {end}."
        return f"{where} it shook at {was} m/s2 rms before, {now} after: {end}."


@dataclass(frozen=True, slots=True)
class SpinComparison:
    """Two recordings beside each other. ``refused``: a sentence on why they aren't, else empty; then ``phases``, and
    ``things``: a sentence on each knock, bang, tone, roar before and after. ``notes``: what the comparison rests on.
    """

    refused: str = ""
    phases: tuple[PhaseDifference, ...] = ()
    things: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def says(self) -> tuple[str, ...]:
        """All of it, a sentence or two each."""
        told = (*(one.says for one in self.phases), *self.things, *self.notes)
        return (self.refused,) if self.refused else told


def comparison(before: SpinRecord, after: SpinRecord) -> SpinComparison:
    """Return two recordings beside each other: each phase that both have, and what knocks, bangs or sounds."""
    refused = _apart(before, after)
    if refused:
        return SpinComparison(refused)
    notes = _notes(before, after)
    things = figure_differences(before, after)
    if before.signal is SignalKind.SOUND:
        why = _unlevelled(before, after)
        return SpinComparison("", () if why else _heard(before, after), things, (*notes, why or SOUND_NOTE))
    return SpinComparison("", _shaken(before, after), things, notes)


def differences(before: SpinRecord, after: SpinRecord) -> tuple[PhaseDifference, ...]:
    """Return each phase that both have, as far as they can be set beside each other."""
    return comparison(before, after).phases


def _apart(before: SpinRecord, after: SpinRecord) -> str:
    """Return why two recordings are not set beside each other; empty where they are."""
    head = "The two recordings can't be set beside each other:"
    if before.signal is not after.signal:
        return f"{head} {before.signal} before, {after.signal} after. Record the same again."
    if before.signal is SignalKind.MOTION and not (before.unit == after.unit == "m/s2"):
        return f"{head} both must be motions in m/s2."
    one, other = before.setting, after.setting
    if DrumLoad.NOT_SAID not in (one.load, other.load) and one.load is not other.load:
        return f"{head} {LOADS[one.load]} before, {LOADS[other.load]} after. Spin it with the same load."
    if RecordingPlace.NOT_SAID not in (one.place, other.place) and one.place is not other.place:
        return f"{head} {PLACES[one.place]} before, {PLACES[other.place]} after. Record at the same place."
    return unlike(before, after)


def _notes(before: SpinRecord, after: SpinRecord) -> tuple[str, ...]:
    """Return what of load and place nobody said, or what lies elsewhere: the difference may be theirs."""
    notes = []
    settings = (before.setting, after.setting)
    if any(s.load is DrumLoad.NOT_SAID for s in settings):
        notes.append("What was in the drum isn't said of both: the difference may be the load's.")
    elif settings[0].load is DrumLoad.WASHING:
        notes.append("Washing lies otherwise each time: the difference may be the load's.")
    if any(s.place in (RecordingPlace.NOT_SAID, RecordingPlace.ELSEWHERE) for s in settings):
        notes.append("Where the phone lay isn't said of both: the difference may be the place's.")
    one, other = spin_speeds(before), spin_speeds(after)
    for mine, theirs, which in ((one, other, "before"), (other, one, "after")):
        alone = [f"{speed.rpm:.0f}" for speed in mine if alike_in(theirs, speed) is None]
        if alone:
            notes.append(f"Only {which} it spun at {' and '.join(alone)} rpm as well: that is not compared.")
    return tuple(notes)


def _pairs(
    before: SpinRecord, after: SpinRecord
) -> Iterator[tuple[SpinPhase, float, Sequence[KeptStretch], Sequence[KeptStretch]]]:
    """Yield each phase that both have with its stretches before and after: of a spin those of one speed, with that
    speed (rpm), the fastest first. Run-up and coast-down go to the fastest spin, which is alike.
    """
    for phase in COMPARED:
        if phase is SpinPhase.SPIN:
            slower = spin_speeds(before)
            for now in spin_speeds(after):
                was = alike_in(slower, now)
                if was is not None:
                    yield phase, now.rpm, was.stretches, now.stretches
            continue
        yield phase, 0.0, _of(before, phase), _of(after, phase)


def _of(record: SpinRecord, phase: SpinPhase) -> Sequence[KeptStretch]:
    return [s for s in record.stretches if s.phase is phase]


def _shaken(before: SpinRecord, after: SpinRecord) -> tuple[PhaseDifference, ...]:
    """Return the differences of two motions."""
    found = []
    for phase, rpm, then, since in _pairs(before, after):
        one, other = _level(then), _level(since)
        if one is not None and other is not None:
            (was, was_u), (now, now_u) = one, other
            known = math.hypot(was_u, now_u, SCALE * was, SCALE * now)
            found.append(PhaseDifference(phase, was, now, now - was, known, rpm=rpm))
    return tuple(found)


def _level(stretches: Sequence[KeptStretch]) -> tuple[float, float] | None:
    """Return the rms of some stretches together, with its standard uncertainty; None where there is none."""
    seconds = sum(s.end - s.start for s in stretches)
    power = sum(s.rms**2 * (s.end - s.start) for s in stretches)
    if seconds <= 0 or power <= 0:
        return None
    return math.sqrt(power / seconds), math.hypot(*(s.rms_u * (s.end - s.start) for s in stretches)) / seconds


def _unlevelled(before: SpinRecord, after: SpinRecord) -> str:
    """Return why the levels of two sounds aren't set beside each other; empty where they are."""
    if before.levelled or after.levelled:
        return "A phone's gain changed by itself in one of them: levels are not compared."
    if any(_decibels(_of(record, SpinPhase.REST)) is None for record in (before, after)):
        return "One of them has no rest in it to tell its levels over: levels are not compared."
    return ""


def _heard(before: SpinRecord, after: SpinRecord) -> tuple[PhaseDifference, ...]:
    """Return the differences of two sounds, each level over the rest of its own recording."""
    found = []
    for phase, rpm, then, since in _pairs(before, after):
        one = _over_rest(then, _of(before, SpinPhase.REST))
        other = _over_rest(since, _of(after, SpinPhase.REST))
        if one is not None and other is not None:
            (was, was_u), (now, now_u) = one, other
            known = math.hypot(was_u, now_u)
            found.append(PhaseDifference(phase, was, now, now - was, known, "dB", rpm))
    return tuple(found)


def _over_rest(stretches: Sequence[KeptStretch], rests: Sequence[KeptStretch]) -> tuple[float, float] | None:
    """Return by how many dB stretches are louder than the rest, with its standard uncertainty; None without either."""
    loud, rest = _decibels(stretches), _decibels(rests)
    if loud is None or rest is None:
        return None
    return loud[0] - rest[0], math.hypot(loud[1], rest[1], ROOM)


def _decibels(stretches: Sequence[KeptStretch]) -> tuple[float, float] | None:
    """Return the level of some stretches of a sound, dB of their mean power, and its uncertainty."""
    seconds = sum(s.end - s.start for s in stretches)
    if seconds <= 0:
        return None
    power = sum(10 ** (s.rms / 10) * (s.end - s.start) for s in stretches) / seconds
    return 10 * math.log10(power), math.hypot(*(s.rms_u * (s.end - s.start) for s in stretches)) / seconds


def spin_before(state: State, step: RecordStep) -> SpinRecord | None:
    """What the recording said that a step's one is set beside; None where there is none."""
    kept = recorded_before(state, step) if step.before else None
    return kept.spin if kept is not None else None


def recorded_before(state: State, step: RecordStep) -> SpinRecording | None:
    """The last recording of the step that this one is set beside, as far as its answer still counts."""
    counts = {given.recording for given in state.answer_records if not given.aside}
    return next((k for k in reversed(state.spins) if k.ref == step.before and k.seq in counts), None)
