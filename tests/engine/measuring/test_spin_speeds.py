"""Two recordings are set beside each other where both spun alike, a spin of each speed by itself; else it is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.flows.spin_flow import figure, spin
from tests.helpers.spin_recordings import motion_csv
from tests.helpers.spin_reports import SHORT, moved
from wizard.documents.spin_picture import spin_picture
from wizard.domain.recording_vocabulary import FigureKind, SpinPhase
from wizard.engine.measuring.spin_comparison import comparison
from wizard.engine.measuring.spin_speeds import spin_speeds, unlike
from wizard.engine.messages.spin_record import KeptStretch, SpinRecord, spin_record
from wizard.recordings.spin_report import spin_report

KNOCK = figure(FigureKind.KNOCK, 1.0, 0.05)
QUIETER = figure(FigureKind.KNOCK, 0.4, 0.05)


def spun(*spins: tuple[float, float, float], figures=()) -> SpinRecord:
    """A made recording that spins for 20 s at each of these speeds, rpm, each with a level and its own uncertainty."""
    stretches = [KeptStretch(SpinPhase.RAMP, 0.0, 10.0, 1.0, 0.01, 2.0, spins[-1][0], 1.0)]
    for n, (rpm, rms, known) in enumerate(spins):
        start = 10.0 + 20 * n
        stretches.append(KeptStretch(SpinPhase.SPIN, start, start + 20, rms, 0.01, 2 * rms, rpm, known))
    return spin(*figures, stretches=tuple(stretches))


def test_another_speed_is_said_and_nothing_is_called_less():
    """Once a turn a machine shakes by the square of the speed: 800 rpm shows less than 1200 on the same machine."""
    told = comparison(spun((1200, 3.0, 1.5), figures=(KNOCK,)), spun((800, 1.9, 1.5), figures=(QUIETER,)))
    assert told.says == ("After at 800 rpm, before at 1200: not compared. Spin it at the same speed.",)
    assert not told.phases and not told.things


@pytest.mark.parametrize(
    ("rpm", "known", "same"), [(1200, 1, True), (1245, 1, True), (1262, 1, False), (1245, 12, False)]
)
def test_alike_is_within_a_twentieth_by_two_standard_uncertainties(rpm, known, same):
    """45 of 1245 rpm are 3.6 %; with 12 rpm on one side up to 69 are meant (twice), which is over 5 %."""
    says = unlike(spun((1200, 1.0, 0.0)), spun((rpm, 1.0, known)))
    assert (says == "") == same
    assert same or "not compared" in says
    if known == 12:
        assert "(± 12)" in says


def test_a_spin_of_each_speed_is_set_beside_its_own():
    """Half as loud at 500 rpm, twice as loud at 1200: a mean over both would hide either."""
    before, after = spun((500, 1.0, 1.0), (1200, 1.0, 1.0)), spun((500, 0.5, 1.0), (1200, 2.0, 1.0))
    spins = [one for one in comparison(before, after).phases if one.phase is SpinPhase.SPIN]
    assert [(one.rpm, round(one.difference, 6)) for one in spins] == [(1200, 1.0), (500, -0.5)]
    assert spins[0].says.startswith(
        "In the spin at 1200 rpm it shook at 1.00 m/s2 rms before, 2.00 after: 1.00 more"
    )
    names = [part.name for part in spin_picture(before, after).parts]
    assert names == ["ramp", "spin 1200", "spin 500"]


def test_a_speed_that_one_of_them_lacks_is_said():
    """The fastest spins are alike; the slower one stands in one of the two alone."""
    told = comparison(spun((500, 1.0, 1.0), (1200, 1.0, 1.0)), spun((1200, 1.0, 1.0)))
    assert [one.rpm for one in told.phases] == [0.0, 1200.0]
    assert "Only before it spun at 500 rpm as well: that is not compared." in told.notes


@pytest.mark.parametrize("which", ["before", "after"])
def test_a_recording_without_a_spin_is_compared_with_none(which):
    """A ramp alone is no spin."""
    none = spin(stretches=(KeptStretch(SpinPhase.RAMP, 0.0, 10.0, 1.0, 0.01, 2.0, 300.0, 2.0),))
    pair = (none, spun((1200, 1.0, 1.0))) if which == "before" else (spun((1200, 1.0, 1.0)), none)
    assert comparison(*pair).says == (
        f"No spin is seen in the recording {which}: not compared. Record a whole spin.",
    )


def test_an_earlier_versions_speed_is_read_off_its_points():
    """What is kept without a speed a stretch has the speeds that are drawn."""
    (speed,) = spin_speeds(spin())
    assert speed.rpm == 1000 and speed.seconds == 20


def test_one_machine_recorded_at_two_speeds_is_not_called_improved(tmp_path):
    """From files: its own speed within two of its uncertainty; the same machine spun a third slower is not compared."""
    slower = tmp_path / "slower.csv"
    slower.write_text(motion_csv(replace(SHORT, top=600.0), 2), "utf-8")
    before, after = spin_record(moved("healthy")), spin_record(spin_report(slower))
    for record, rpm in ((before, SHORT.top), (after, 600.0)):
        (speed,) = spin_speeds(record)
        assert speed.rpm == pytest.approx(rpm, abs=max(2.0, 3 * speed.rpm_u))
    assert comparison(before, after).refused.startswith("After at 600 rpm, before at 900: not compared.")
