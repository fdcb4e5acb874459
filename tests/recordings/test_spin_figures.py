"""What else a recording says, each against made signals or a standard: orders, knocks, bangs, tones, roar, modes."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
import soundfile
from scipy import stats

from tests.helpers.spin_recordings import Spin, sound
from tests.helpers.spin_reports import SHORT, SOUNDS, SPINS, heard, moved
from tests.helpers.spin_truth import twice
from wizard.domain.recording_vocabulary import FigureKind as Kind
from wizard.engine.measuring import figure_evidence
from wizard.engine.messages.spin_record import spin_record
from wizard.flow.model import FigureMeaning
from wizard.measure.mechanics.bearing_geometry import bearing_of
from wizard.recordings.figures import bearing_tones
from wizard.recordings.figures.bearing_tones import order_spectrum, seen_of, tone_in, welch_freedom
from wizard.recordings.figures.fixed_modes import modes_in
from wizard.recordings.figures.spin_severity import EDGES
from wizard.recordings.figures.turn_knock import knock_in
from wizard.recordings.spin_report import spin_report


def one(report, kind):
    """The only figure of a kind."""
    (found,) = [figure for figure in report.figures if figure.kind is kind]
    return found


def test_the_top_speed_lies_within_what_is_said():
    """900 rpm was made."""
    for report in (moved("healthy"), moved("uneven"), heard("healthy")):
        told = one(report, Kind.TOP_SPEED)
        assert abs(told.value - 900) <= 2 * told.uncertainty and told.uncertainty < 3


def test_twice_a_turn_is_told_as_large_as_it_is():
    """Source: frequency responses of scipy.signal. A healthy spin has none."""
    told = one(moved("second"), Kind.TWICE_A_TURN)
    assert told.present and abs(told.value - twice(SPINS["second"])) <= 2 * told.uncertainty
    assert not one(moved("healthy"), Kind.TWICE_A_TURN).present
    assert one(moved("healthy"), Kind.ONCE_A_TURN).value > 0.9


def test_a_knock_each_turn_is_told_and_needs_fast_readings():
    """At 400 readings a second it is found; at 200 it is said that it can't be told."""
    assert one(moved("knock"), Kind.KNOCK).present
    slow = one(moved("healthy"), Kind.KNOCK)
    assert slow.value is None and "can't be told at 200 readings" in slow.says
    assert not one(heard("healthy"), Kind.KNOCK).present, "a beat of a quarter is no knock"


@pytest.mark.parametrize("shape", ["noise", "beat", "knocks at random"])
def test_no_knock_is_heard_where_none_is(shape):
    """Twelve made envelopes of each kind; the study takes more."""
    wrong = 0
    for seed in range(12):
        rng = np.random.default_rng([seed, 12])
        profile = 1 + 0.3 * np.abs(rng.standard_normal((150, 24)))
        if shape == "beat":
            profile = profile * (1 + 0.3 * np.cos(2 * np.pi * np.arange(24) / 24))
        elif shape == "knocks at random":
            profile[np.arange(150), rng.integers(0, 24, 150)] += 3
        height, lopsided, chance = knock_in(profile, 1.0)
        wrong += chance < 0.005 and height > 0.3 and lopsided > 1.8
    assert wrong <= 1


def test_a_made_knock_is_heard_in_noise():
    """Each turn, at one angle, as high as the noise's level."""
    profile = 1 + 0.3 * np.abs(np.random.default_rng(3).standard_normal((150, 24)))
    profile[:, 7] += 1.0
    height, lopsided, chance = knock_in(profile, 1.0)
    assert chance <= 0.002 and height == pytest.approx(1.0, abs=0.15) and lopsided > 5


@pytest.mark.parametrize("report", [moved, heard], ids=["motion", "sound"])
def test_it_bangs_when_it_bangs(report):
    """At 21 and 60 s of the made spins, at the speed of that moment; a healthy one doesn't."""
    late = 0.05 if report is moved else 0.0
    found = [figure for figure in report("bangs").figures if figure.kind is Kind.BANG]
    assert [figure.at for figure in found] == pytest.approx([21 - late, 60 - late], abs=0.15)
    assert report("healthy").bang_count == 0
    rpm = 60 * SPINS["bangs"].speed(np.array([21.0]))[0]
    assert f"at {rpm:.0f} rpm" in found[0].says or f"{rpm:.0f}"[:2] in found[0].says


@pytest.mark.parametrize(
    ("number", "orders"),
    [("6205", (0.3983, 3.5848, 5.4152, 4.7134)), ("6203", (0.3816, 3.0531, 4.9469, 3.9877))],
)
def test_the_orders_of_a_bearing_are_those_published(number, orders):
    """6205: Case Western Reserve University bearing data, whose 'rolling element' is twice the ball's spin."""
    got = bearing_of(number).orders
    assert (got.cage, got.outer, got.inner, 2 * got.element) == pytest.approx(orders, abs=2e-3)
    with pytest.raises(ValueError, match=r'^designation: the balls of "6999"'):
        bearing_of("6999")


@pytest.mark.parametrize(
    ("blocks", "freedom", "low", "high"), [(8, 15.26, 0.548, 2.374), (16, 30.42, 0.640, 1.779)]
)
def test_the_freedom_of_welch_means(blocks, freedom, low, high):
    """36 K^2 / (19 K - 1): K = 8 gives 15.26 and a 95 % ratio of 0.548 to 2.374 (formula from memory)."""
    got = welch_freedom(blocks)
    assert got == pytest.approx(freedom, abs=0.01)
    assert got / stats.chi2.ppf([0.975, 0.025], got) == pytest.approx([low, high], abs=2e-3)


def test_a_defect_of_the_outer_ring_is_heard_and_no_other():
    """Made 1 % slow, as a slip: 3.549 times a turn."""
    told = {
        f.says.split(" as the ")[1].split(" of a ")[0]: f
        for f in heard("bearing").figures
        if f.kind is Kind.BEARING_TONE
    }
    assert {part for part, figure in told.items() if figure.present} == {"outer ring"}
    assert told["outer ring"].value == pytest.approx(3.5848 * 0.99, abs=0.03)
    assert "can't hear a bearing" in " ".join(moved("healthy").doubts)


def test_a_tone_that_would_lie_on_an_order_of_the_drum_is_not_called_silent():
    """BPFO of a 6204, 3.052, is 3.006 with a slip of 1.5 %: the drum's third order. A 6205's tones are clear of any."""
    at = np.arange(0, 20, 0.025)
    orders = {name: bearing_of(name).orders for name in ("6204", "6205")}
    assert seen_of(at, orders["6204"].outer) < 0.5
    assert (
        min(seen_of(at, o) for o in (orders["6205"].outer, orders["6205"].inner, orders["6205"].cage)) > 0.9
    )


def test_a_named_bearing_says_which_of_its_parts_cannot_be_told(tmp_path):
    """A 6204 in a healthy sound: outer ring and balls aren't told; no row says that there is no tone."""
    path = tmp_path / "spin.wav"
    soundfile.write(path, sound(SOUNDS["healthy"], 1), 16000)
    told = [f for f in spin_report(path, bearing="6204").figures if f.kind is Kind.BEARING_TONE]
    outer, balls = [f for f in told if f.present is None]
    assert "outer ring of a 6204" in outer.says and "the drum's own order 3" in outer.says
    assert "balls of a 6204" in balls.says and "the drum's own order 4" in balls.says
    record = spin_record(spin_report(path, bearing="6204"))
    step = SimpleNamespace(
        figures=(FigureMeaning(figure=Kind.BEARING_TONE, there=False, rules_out={"roar": 0.8}),),
        reads={},
        spin_rpm=None,
    )
    assert figure_evidence.evidence(step, record) == {}
    (every,) = [
        f for f in spin_report(path, bearings=("6204", "6205")).figures if f.kind is Kind.BEARING_TONE
    ]
    assert every.present is False and "a tone on an order of the drum isn't told" in every.says


@pytest.mark.parametrize("slip", [0.0, 0.01, 0.018])
@pytest.mark.parametrize(
    ("typed", "part", "order"),
    [
        ("6205", "inner ring", 5.4152),
        ("6206", "outer ring", 3.571),
        ("balls 9, 7.94, 39.04", "outer ring", 3.5848),
    ],
)
def test_the_part_of_a_named_bearing_is_named_with_its_slip(tmp_path, slip, typed, part, order):
    """Made tones at the handbook's order, slower by its slip: heard, named, its place within the stated uncertainty."""
    path = tmp_path / "spin.wav"
    made = replace(SHORT, hold=20.0, extra={"orders": (order * (1 - slip) / 0.99,)})
    soundfile.write(path, sound(made, 3), 16000)
    (found,) = [
        f for f in spin_report(path, bearing=typed).figures if f.kind is Kind.BEARING_TONE and f.present
    ]
    assert f"as the {part} of a" in found.says
    assert abs(found.value - order * (1 - slip)) <= 2 * found.uncertainty


def test_no_bearing_is_heard_in_noise():
    """Two hundred made envelopes, four tones each: false alarms under 2 %."""
    orders, wrong = bearing_of("6205").orders, 0
    for seed in range(200):
        rng = np.random.default_rng([seed, 4])
        turn = 1 + 0.5 * np.cos(2 * np.pi * np.arange(40) / 40)
        power, at, blocks = order_spectrum(np.abs(rng.standard_normal((200, 40))) * turn)
        tones = (orders.outer, orders.inner, 2 * orders.element, orders.cage)
        wrong += any(tone_in(power, at, order, blocks)[2] < bearing_tones._CHANCE for order in tones)
    assert wrong <= 4


def test_a_squeal_is_told_by_its_pitch():
    """2210 Hz while it spins; a healthy one doesn't squeal."""
    told = one(heard("squeal"), Kind.SQUEAL)
    assert told.present and abs(told.value - 2210) <= 2 * told.uncertainty and "In the spin" in told.says
    assert not one(heard("healthy"), Kind.SQUEAL).present
    assert one(moved("healthy"), Kind.SQUEAL).value is None


def test_a_roar_is_told_in_decibels_and_by_the_speed():
    """Made as the 1.5th power of the speed, over a floor at rest."""
    told = one(heard("healthy"), Kind.ROAR)
    assert told.present and any(f"as the {p}th power" in told.says for p in (1.4, 1.5, 1.6))
    made = 20 * np.log10((0.02 * (15 / 18) ** 1.5 + 2e-4) / 2e-4)
    assert abs(told.value - made) <= 2 * told.uncertainty + 1


def test_a_mode_that_stays_is_told_apart_from_orders():
    """The made cabinet's feet swing at 17 Hz, and sideways at 14.45."""
    told = [f for f in moved("healthy").figures if f.kind is Kind.FIXED_MODE]
    assert told[0].present
    assert all(min(abs(f.value - at) for at in (17.0, 14.45)) <= 2 * f.uncertainty + 0.3 for f in told)


@pytest.mark.parametrize("seed", range(30))
def test_no_mode_stands_out_of_noise(seed):
    """A smooth spectrum of forty windows, in dB."""
    rng = np.random.default_rng([seed, 6])
    frequencies = np.arange(0, 80, 0.125)
    rough = 10 * np.log10(rng.gamma(1, 1, (40, 640 // 4)).mean(axis=0)).repeat(4)
    assert modes_in(frequencies, rough - 20 * np.log10(1 + frequencies / 40), np.full(640, 40.0)) == []


def test_severity_is_a_scale_and_no_verdict():
    """ISO 10816-1, Table B.1, class I: 0.71 / 1.8 / 4.5 mm/s. The rms is that of the made line at 15 Hz."""
    assert EDGES == (0.71, 1.8, 4.5)
    told = one(moved("healthy"), Kind.SEVERITY)
    size = np.sqrt(one(moved("healthy"), Kind.ONCE_A_TURN).value)
    level = next(e for e in moved("healthy").levels if str(e.stretch.phase) == "spin")
    line = 1000 * size * level.rms / (2 * np.pi * 15)
    assert told.value == pytest.approx(line, rel=0.06)
    assert "no verdict on a washer" in told.says and "zone D" in told.says
    assert one(heard("healthy"), Kind.SEVERITY).value is None


@pytest.mark.parametrize("name", ["healthy", "bearing"])
def test_every_figure_says_what_it_is_and_how_it_is_known(name):
    """A sentence each; what is told has an uncertainty above nothing."""
    report = moved("healthy") if name == "healthy" else heard("bearing")
    for figure in report.figures:
        assert figure.says.endswith(".") and figure.says[0].isupper()
        assert figure.value is None or (figure.uncertainty > 0 and figure.known_by)


@pytest.mark.parametrize(("rpm", "bearing"), [(20.0, None), (5000.0, None), (None, "none")])
def test_what_is_asked_beside_the_file_must_be_possible(tmp_path, rpm, bearing):
    """It is named before the file is read."""
    with pytest.raises(ValueError, match=r"^(plate_rpm|designation): "):
        spin_report(tmp_path / "none.csv", rpm, bearing)


def test_the_made_spins_are_spins():
    """The helper's own check: its phases follow each other."""
    assert np.all(np.diff(Spin().marks) > 0)
