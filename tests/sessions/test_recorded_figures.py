"""What the journal says of a recording must follow from the file that is kept: altered with all that rests on it, it is
named; and what the program itself took is never named.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, fields, is_dataclass, replace
from enum import StrEnum
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from tests.helpers.made_recordings import csv, phone
from wizard.domain.recording_vocabulary import DrumLoad, RecordingPlace
from wizard.engine.messages.decay_record import DecayFit, decay_fit
from wizard.engine.messages.events import RecordingTaken, SpinRecorded
from wizard.engine.messages.spin_record import SpinRecord, spin_record
from wizard.engine.messages.spin_setting import SpinSetting
from wizard.measure.vibration import decay_detection, recording_file
from wizard.practice.demo.demo_motion import write_motion
from wizard.practice.demo.drawn_spin import drawn
from wizard.recordings.spin_report import spin_report
from wizard.sessions.verifying.recorded_figures import (
    NO_CHOICES,
    OTHER_ANALYSIS,
    departs,
    difference,
    unproved,
)

BEARINGS = ("6205",)


@pytest.fixture(scope="module")
def tub(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, RecordingTaken]:
    """A kept decay, its start moved by hand as a technician may, and what the journal says of it."""
    path = tmp_path_factory.mktemp("kept") / "tub.csv"
    path.write_text(csv(*phone()), "utf-8")
    recording = recording_file.load(path)
    stretch = decay_detection.moved(recording, decay_detection.find(recording, 2), start=1)
    found = decay_fit(recording, 2, decay_detection.decay_report(recording, 2, stretch))
    return path, RecordingTaken(
        run=1, step="recorded", name="tub.csv", sha256=digest(path), file="tub.csv", found=found
    )


@pytest.fixture(scope="module")
def spin(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, SpinRecorded]:
    """A kept spin of worn dampers."""
    path = tmp_path_factory.mktemp("kept") / "spin.csv"
    write_motion(drawn("worn-dampers", 7), 7, path)
    found = spin_record(spin_report(path, bearings=BEARINGS))
    return path, SpinRecorded(
        run=1, step="take", name="spin.csv", sha256=digest(path), file="spin.csv", spin=found
    )


def digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


def test_what_was_taken_follows_from_its_file(tub, spin) -> None:
    """Neither is named, the sentences compared too."""
    assert departs(*tub, (), True) == "" and departs(*spin, BEARINGS, True) == ""


def test_a_unit_that_was_told_by_hand_is_used_again(tmp_path) -> None:
    """A file without units, its times in ms: read as it was told to be read."""
    time, x, y, z = phone()
    path = tmp_path / "bare.csv"
    path.write_text(csv(time * 1000, x, y, z, header="t,x,y,z"), "utf-8")
    recording = recording_file.load(path).with_units(time="ms", column=2, value="m/s2")
    found = decay_fit(
        recording, 2, decay_detection.decay_report(recording, 2, decay_detection.find(recording, 2))
    )
    event = RecordingTaken(run=1, step="r", name="b.csv", sha256=digest(path), file="b.csv", found=found)
    assert departs(path, event, (), True) == ""


CHOSEN = {"number", "time_unit", "from_reading", "to_reading", "period", "unit"}
"""What the technician chose: another choice gives another fit, or none, and that is named."""


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the way to every number, word and truth in a record, of a list to its first, middle and last."""
    if isinstance(value, tuple):
        for n in sorted({0, len(value) // 2, len(value) - 1} if value else ()):
            yield from places(value[n], (*path, n))
    elif is_dataclass(value):
        for each in fields(value):
            yield from places(getattr(value, each.name), (*path, each.name))
    else:
        yield path


def altered(value: Any, path: tuple[Any, ...]) -> Any:
    """The record with one place otherwise: a number by two in a hundred, a whole one by one, another word or truth."""
    if path:
        first, *rest = path
        if isinstance(value, tuple):
            return (*value[:first], altered(value[first], tuple(rest)), *value[first + 1 :])
        return replace(value, **{first: altered(getattr(value, first), tuple(rest))})
    if isinstance(value, StrEnum):
        return next(one for one in type(value) if one is not value)
    if isinstance(value, bool) or value is None:
        return not value
    if isinstance(value, int):
        return value + 1
    return value * 0.98 or 0.01 if isinstance(value, float) else f"{value} It was smooth."


def refused(record: Any, path: tuple[Any, ...]) -> bool:
    """Whether a record altered so is none at all: the journal itself can't be read then."""
    try:
        altered(record, path)
    except ValueError:
        return True
    return False


def test_every_figure_of_a_decay_is_compared_with_its_file(tub) -> None:
    """Each place alone, against the fit of the kept file made anew: named. What no fit gives is no record."""
    path, event = tub
    anew = decay_fit_of(path, event.found)
    assert anew == event.found and departs(path, event, (), True) == ""
    for where in places(event.found):
        if where[0] in CHOSEN or refused(event.found, where):
            continue
        changed = altered(event.found, where)
        assert difference(changed, anew, True), where


@pytest.mark.parametrize(
    "name", ["number", "unit", "from_reading", "to_reading", "period", "damping", "settles_u", "values"]
)
def test_a_decay_is_computed_anew_from_its_file(tub, name: str) -> None:
    """Through the file itself: a choice that was altered gives other figures, a figure follows from none."""
    path, event = tub
    found = event.found
    other = {"number": 1, "unit": "mg", "from_reading": found.from_reading + 40, "to_reading": found.to_reading - 40,
             "period": found.period * 3}.get(name)  # fmt: skip
    where = (name, 0) if name == "values" else (name,)
    changed = replace(found, **{name: other}) if other is not None else altered(found, where)
    assert "from its file" in departs(path, replace(event, found=changed), (), True)


def test_a_swing_that_was_made_short_everywhere_is_named(tub) -> None:
    """Ratio, frequency and points altered together, so that the journal agrees with itself."""
    path, event = tub
    better = replace(
        event.found,
        settles=0.4,
        damping_ratio=0.38,
        times=event.found.times[:20],
        values=event.found.values[:20],
    )
    assert "damping ratio" in departs(path, replace(event, found=better), (), False)


def test_every_figure_of_a_spin_is_compared_with_its_file(spin) -> None:
    """Each place of every figure, stretch and point alone, against the analysis of the kept file made anew: named."""
    path, event = spin
    anew = spin_record(spin_report(path, bearings=BEARINGS))
    assert anew == event.spin
    tried = 0
    for where in every(event.spin):
        if where[0] in ("setting", "analysis") or refused(event.spin, where):
            continue
        tried += 1
        assert difference(altered(event.spin, where), anew, True), where
    assert tried > 12 * len(event.spin.figures)
    for n in range(len(anew.figures)):
        fewer = replace(event.spin, figures=(*event.spin.figures[:n], *event.spin.figures[n + 1 :]))
        assert "its figures doesn't follow" in difference(fewer, anew, True)


def every(record: SpinRecord) -> Iterator[tuple[Any, ...]]:
    """Yield the way to every place of a spin: all figures and stretches, and of the points some."""
    for each in fields(record):
        value = getattr(record, each.name)
        if each.name in ("figures", "stretches"):
            for n, one in enumerate(value):
                yield from places(one, (each.name, n))
        else:
            yield from places(value, (each.name,))


@pytest.mark.parametrize(
    "where",
    [
        ("seconds",),
        ("rate",),
        ("speeds", 50),
        ("levels", 50),
        ("stretches", 1, "rms"),
        ("figures", 0, "value"),
    ],
)
def test_a_spin_is_computed_anew_from_its_file(spin, where) -> None:
    """Through the file itself."""
    path, event = spin
    assert "from its file" in departs(path, replace(event, spin=altered(event.spin, where)), BEARINGS, False)


def test_the_plate_and_the_bearing_that_were_typed_are_used_again(spin) -> None:
    """By them it is analysed anew, and the record without them is another; what they say is compared."""
    path, event = spin
    setting = SpinSetting(DrumLoad.EMPTY, RecordingPlace.TOP, 1400.0, "6205")
    report = spin_report(path, 1400.0, "6205", bearings=BEARINGS)
    typed = replace(event, spin=spin_record(report, setting))
    assert departs(path, typed, BEARINGS, True) == ""
    untrue = replace(typed, spin=replace(typed.spin, setting=replace(setting, plate_rpm=700.0)))
    assert "from its file" in departs(path, untrue, BEARINGS, True)


def test_what_an_earlier_version_kept_is_not_computed_anew_and_that_is_said(tub, spin) -> None:
    """No choices of a fit, another analysis of a spin: no trouble, no silence."""
    found = replace(tub[1].found, number=0, time_unit="", from_reading=0, to_reading=0, period=0.0)
    old = replace(tub[1], found=replace(found, settles=0.9))
    assert departs(tub[0], old, (), True) == "" and unproved(old) == NO_CHOICES
    earlier = replace(spin[1], spin=replace(spin[1].spin, analysis=1, seconds=3.0))
    assert departs(spin[0], earlier, BEARINGS, True) == "" and unproved(earlier) == OTHER_ANALYSIS
    assert unproved(tub[1]) == unproved(spin[1]) == ""


def decay_fit_of(path: Path, kept: DecayFit) -> DecayFit:
    """The fit of the kept file by the choices in the record."""
    recording = recording_file.load(path)
    stretch = decay_detection.Decay(kept.from_reading, kept.to_reading, kept.period)
    return decay_fit(recording, kept.number, decay_detection.decay_report(recording, kept.number, stretch))


def test_a_sentence_is_compared_where_this_version_wrote_it(spin) -> None:
    """Another version may word it otherwise; its numbers must follow all the same."""
    path, event = spin
    figures = (replace(event.spin.figures[0], says="It was smooth."), *event.spin.figures[1:])
    edited = replace(event, spin=replace(event.spin, figures=figures))
    assert "It was smooth." in departs(path, edited, BEARINGS, True)
    assert difference(edited.spin, event.spin, False) == ""


def test_a_file_of_which_nothing_can_be_told_is_said(tmp_path, tub, spin) -> None:
    """No recording at all, an empty one, one that is gone: in words."""
    for event in (tub[1], spin[1]):
        for data in (b"", b"nothing", b"\x00" * 200):
            path = tmp_path / "kept.csv"
            path.write_bytes(data)
            assert "can be computed from its file" in departs(path, event, BEARINGS, True)
        assert "can be computed from its file" in departs(tmp_path / "gone.csv", event, BEARINGS, True)


def test_a_stretch_outside_the_recording_is_said(tub) -> None:
    """A journal may name readings that the file hasn't."""
    path, event = tub
    for changed in ({"from_reading": 10**7, "to_reading": 10**7 + 50}, {"number": 7}, {"time_unit": "year"}):
        said = departs(path, replace(event, found=replace(event.found, **changed)), (), True)
        assert "from its file" in said
    assert asdict(event.found)["number"] == 2
