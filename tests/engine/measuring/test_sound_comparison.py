"""Two sounds of a spin beside each other: gains that differ, a roar that does, tones and knocks gone or new."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
import soundfile

from tests.helpers.flows.spin_flow import figure, spin
from tests.helpers.spin_recordings import sound
from tests.helpers.spin_reports import SHORT
from wizard.documents.spin_picture import spin_picture
from wizard.documents.writers.page.spin_svg import spin_svg
from wizard.domain.recording_vocabulary import DrumLoad, FigureKind, RecordingPlace, SignalKind, SpinPhase
from wizard.engine.measuring.figure_comparison import ROOM
from wizard.engine.measuring.spin_comparison import SOUND_NOTE, comparison
from wizard.engine.messages.spin_record import KeptStretch, SpinRecord, spin_record
from wizard.engine.messages.spin_setting import SpinSetting
from wizard.recordings.spin_report import spin_report

SAID = SpinSetting(DrumLoad.EMPTY, RecordingPlace.FLOOR)


@lru_cache(maxsize=32)
def heard(seed: int = 1, **extra: float) -> SpinRecord:
    """The record of a made sound, recorded empty from the floor."""
    import tempfile
    from pathlib import Path

    given = {k: v for k, v in extra.items() if k != "orders"}
    given |= {"orders": (3.5848,)} if "orders" in extra else {}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "spin.wav"
        soundfile.write(path, sound(replace(SHORT, extra=given), seed), 16000)
        return spin_record(spin_report(path, bearing="6205"), SAID)


def loud(rest: float, spinning: float, known: float = 0.0, **changes) -> SpinRecord:
    """A made sound with these levels, dB against full scale."""
    stretches = (
        KeptStretch(SpinPhase.REST, 0.0, 5.0, rest, known, rest + 3),
        KeptStretch(SpinPhase.SPIN, 30.0, 50.0, spinning, known, spinning + 3),
    )
    return spin(signal=SignalKind.SOUND, unit="dB", stretches=stretches, setting=SAID, **changes)


def test_levels_are_told_over_their_own_rest_and_never_as_loudness():
    """One phone turned everything down by 12 dB: nothing differs. Independent parts add by squares (GUM, 5.1.2)."""
    told = comparison(loud(-70, -30, 0.3), loud(-82, -42, 0.4))
    (one,) = told.phases
    assert (one.before, one.after, one.difference, one.unit) == (40, 40, 0, "dB") and not one.clear
    assert one.uncertainty == pytest.approx(math.sqrt(2 * 0.3**2 + 2 * 0.4**2 + 2 * ROOM**2))
    assert "40 dB over its own rest before, 40 after" in one.says and SOUND_NOTE in told.says
    (less,) = comparison(loud(-70, -30, 0.3), loud(-70, -45, 0.3)).phases
    assert less.clear and less.difference == -15 and "15 less (± 2.9)" in less.says


def test_stretches_of_one_phase_add_by_their_power():
    """Half the time at 0 dB, half at -60: 3.01 dB below the loud half."""
    stretches = (
        KeptStretch(SpinPhase.REST, 0.0, 5.0, -70.0, 0.0, -67.0),
        KeptStretch(SpinPhase.SPIN, 5.0, 15.0, 0.0, 0.0, 3.0, 1000.0, 1.0),
        KeptStretch(SpinPhase.SPIN, 20.0, 30.0, -60.0, 0.0, -57.0, 1000.0, 1.0),
    )
    two = replace(loud(-70, 0), stretches=stretches)
    assert comparison(two, two).phases[0].before == pytest.approx(70 - 10 * math.log10(2), abs=0.01)


@pytest.mark.parametrize(
    ("before", "after", "why"),
    [
        (loud(-70, -30), spin(setting=SAID), "sound before, motion after"),
        (
            loud(-70, -30),
            replace(loud(-70, -30), setting=replace(SAID, load=DrumLoad.TOWELS)),
            "empty drum before, wet towels in the drum after",
        ),
        (
            replace(loud(-70, -30), setting=replace(SAID, place=RecordingPlace.TOP)),
            loud(-70, -30),
            "phone on the top front corner before, phone on the floor in front after",
        ),
    ],
)
def test_what_is_not_alike_is_not_set_beside_each_other(before, after, why):
    """Another kind, another load, another place: one sentence, no figure, no picture."""
    told = comparison(before, after)
    assert why in told.refused and told.says == (told.refused,) and not told.phases
    assert spin_picture(before, after) is None


@pytest.mark.parametrize("made", [loud(-70, -30), spin(setting=SAID)], ids=["sound", "motion"])
def test_what_nobody_said_is_said_beside_the_difference(made):
    """Load and place that aren't known: compared, and the doubt stands with it."""
    unsaid = replace(made, setting=SpinSetting())
    says = " ".join(comparison(unsaid, made).says)
    assert (
        "What was in the drum isn't said of both" in says and "Where the phone lay isn't said of both" in says
    )
    assert "isn't said" not in " ".join(comparison(made, made).says)
    washing = replace(made, setting=replace(SAID, load=DrumLoad.WASHING))
    assert "Washing lies otherwise each time" in " ".join(comparison(washing, washing).says)


def test_levels_are_left_out_where_they_mean_nothing():
    """A gain that changed by itself, or no rest: the sentence in place of the levels; tones are told all the same."""
    squeals = figure(FigureKind.SQUEAL, 2210.0, 8.0)
    for other in (
        loud(-70, -30, levelled=True),
        replace(loud(-70, -30), stretches=loud(-70, -30).stretches[1:]),
    ):
        told = comparison(loud(-70, -30), replace(other, figures=(squeals,)))
        assert not told.phases and "levels are not compared" in " ".join(told.notes)
        assert told.things == ("Squeal: can't be told before; 2210 Hz (± 8) after.",)


def test_what_is_gone_new_or_less_is_said_with_its_uncertainty():
    """Knock 2.0 less 0.4 with 0.3 and 0.4: 1.6 less, u 0.5 (3, 4, 5)."""
    none = figure(FigureKind.SQUEAL, there=False)
    before = loud(-70, -30)
    was = replace(before, figures=(figure(FigureKind.KNOCK, 2.0, 0.3), figure(FigureKind.SQUEAL, 900.0, 8.0)))
    now = replace(before, figures=(figure(FigureKind.KNOCK, 0.4, 0.4), none))
    assert comparison(was, now).things == (
        "Knock each turn: 3.0 times as loud as between (± 0.3) before, 1.4 times as loud as between (± 0.4) after: "
        "1.6 less (± 0.5).",
        "Squeal: 900 Hz (± 8) before, none after: gone.",
    )
    assert comparison(now, was).things[1] == "Squeal: none before, 900 Hz (± 8) after: new."
    near = replace(was, figures=(figure(FigureKind.KNOCK, 1.5, 0.4), none))
    assert comparison(was, near).things[0].endswith("no clear difference (± 0.5).")


def test_a_roar_is_told_by_its_room_too():
    """It rises from the rest of a home: 39 and 34 dB, 1 dB each and ROOM twice: 5 less, u 3.2, is none."""
    was, now = (replace(loud(-70, -30), figures=(figure(FigureKind.ROAR, dB, 1.0),)) for dB in (39.0, 34.0))
    assert (
        comparison(was, now).things[0].endswith(f"no clear difference (± {math.sqrt(2 + 2 * ROOM**2):.1f}).")
    )


def test_another_gain_is_no_difference_in_a_made_sound():
    """The same machine, its phone turned down to three tenths: no phase and no roar differs clearly."""
    told = comparison(heard(1), heard(2, gain=0.3))
    assert {one.phase for one in told.phases} == {SpinPhase.RAMP, SpinPhase.SPIN, SpinPhase.COAST}
    assert not any(one.clear for one in told.phases)
    assert any(thing.startswith("Roar") and "no clear difference" in thing for thing in told.things)


@pytest.mark.parametrize("seed", range(4))
def test_a_roar_four_times_less_is_told_within_its_uncertainty(seed):
    """Made 12.04 dB less (20 log 4), recorded at half the gain: each phase's difference holds it within 2 u."""
    told = comparison(heard(seed, roar=0.08), heard(seed + 20, roar=0.02, gain=0.5))
    spinning = next(one for one in told.phases if one.phase is SpinPhase.SPIN)
    made = -20 * math.log10(4)
    assert abs(spinning.difference - made) <= 2 * spinning.uncertainty and spinning.clear


def test_a_bearing_and_a_squeal_that_were_mended_are_gone():
    """By the envelope and the spectrum of made sounds; a knock that came is new."""
    things = comparison(heard(1, orders=1.0, tone=2210.0), heard(2, knocks=0.15)).things
    said = {thing.split(":")[0]: thing for thing in things}
    assert "3.5" in said["Bearing tone"] and said["Bearing tone"].endswith("none after: gone.")
    assert said["Squeal"].startswith("Squeal: 22") and said["Squeal"].endswith("gone.")
    assert said["Knock each turn"].endswith("after: new.")


def test_alike_sounds_are_seldom_said_to_differ():
    """Rooms that scatter as stated: told to differ in about 5 % (normal)."""
    rng = np.random.default_rng(8)
    false = 0
    for _ in range(2000):
        one, other = (loud(-70 + ROOM * rng.standard_normal(), -30) for _ in range(2))
        false += comparison(one, other).phases[0].clear
    assert 0.03 < false / 2000 < 0.065


def test_two_sounds_lie_on_one_axis_over_their_rest():
    """The picture's unit says what it is; nothing lies below the rest; the same sound at another gain lies alike."""
    before, after = heard(1), heard(1, gain=0.3)
    picture = spin_picture(before, after)
    assert picture is not None and picture.unit == "dB over rest" and len(picture.parts) == 3
    for was, now in zip(picture.before, picture.after, strict=True):
        assert all(0 <= y <= 1 for _x, y in (*was, *now))
        assert [y for _x, y in was] == pytest.approx([y for _x, y in now], abs=0.03)
    assert "dB over rest" in spin_svg(picture) and SOUND_NOTE in picture.says
