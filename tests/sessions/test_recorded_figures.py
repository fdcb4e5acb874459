"""What the journal says of a recording must follow from the file that is kept: altered with all that rests on it, it is
named; and what the program itself took is never named.
"""

from __future__ import annotations

from dataclasses import asdict, fields, replace
from hashlib import sha256
from pathlib import Path

import pytest

from tests.helpers.made_recordings import csv, phone
from wizard.engine.messages.decay_record import DecayFit, decay_fit
from wizard.engine.messages.events import RecordingTaken, SpinRecorded
from wizard.engine.messages.spin_record import spin_record
from wizard.measure.vibration import decay_detection, recording_file
from wizard.practice.demo.demo_motion import write_motion
from wizard.practice.demo.drawn_spin import drawn
from wizard.recordings.spin_report import spin_report
from wizard.sessions.verifying.recorded_figures import departs, difference

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


MEANT = {"number", "time_unit", "from_reading", "to_reading", "period", "unit"}
"""What the technician chose: another choice gives other figures, and those are compared."""


@pytest.mark.parametrize("name", [f.name for f in fields(DecayFit) if f.name not in MEANT])
def test_every_figure_of_a_decay_is_compared(tub, name: str) -> None:
    """One at a time, by two in a hundred, or another word."""
    found = tub[1].found
    value = getattr(found, name)
    if isinstance(value, tuple):
        changed = (*value[:-1], value[-1] * 1.02)
    elif isinstance(value, float | int) and not isinstance(value, bool):
        changed = value + 1 if isinstance(value, int) else value * 0.98 or 0.01
    else:
        changed = next((one for one in type(value) if one is not value), None) if name in KINDS else "other"
    said = difference(replace(found, **{name: changed}), found, False)
    assert said.startswith(f"its {name.replace('_', ' ')} doesn't follow from its file")


KINDS = ("quantity", "damping")


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


def test_every_figure_of_a_spin_is_compared(spin) -> None:
    """Value, whether it is there, level of a stretch, the course: each altered alone is named."""
    kept = spin[1].spin
    figures = kept.figures
    there = next(n for n, f in enumerate(figures) if f.there)
    told = next(n for n, f in enumerate(figures) if f.told)

    def figure(n: int, **changed):
        return replace(
            kept, figures=tuple(replace(f, **changed) if m == n else f for m, f in enumerate(figures))
        )

    loud = replace(kept.stretches[0], rms=kept.stretches[0].rms * 1.1)
    edits = {
        "there": figure(there, there=False),
        "value": figure(told, value=figures[told].value * 1.01),
        "rms": replace(kept, stretches=(loud, *kept.stretches[1:])),
        "speeds": replace(kept, speeds=tuple(v * 1.1 for v in kept.speeds)),
        "figures": replace(kept, figures=figures[1:]),
        "seconds": replace(kept, seconds=kept.seconds + 1),
    }
    said = {name: difference(edited, kept, False) for name, edited in edits.items()}
    assert {name for name, words in said.items() if f"its {name} doesn't follow" in words} == set(edits)


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
