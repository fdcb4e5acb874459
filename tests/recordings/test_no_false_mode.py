"""Neither the skirt of the drum's own line nor an edge in the noise is a mode; none is met that no drum reaches."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.recordings.staged_spins import climbing, signal_of
from wizard.domain.recording_vocabulary import FigureKind
from wizard.recordings.figures.fixed_modes import modes_in
from wizard.recordings.spin_report import analysed

STIFF = {"rest": 4.0, "tumble": 5.0, "tub": 2.9, "zeta": 0.1, "foot": 70.0, "foot_zeta": 0.7}


def modes_of(spin, seed):
    """The figures of modes."""
    return [f for f in analysed(signal_of(spin, seed)).figures if f.kind is FigureKind.FIXED_MODE]


@pytest.mark.parametrize("seed", range(4))
def test_the_skirt_of_the_spin_is_no_mode(seed):
    """A motor that holds 900 rpm within two: the line is a little wide. Nothing of it swings by itself."""
    rng = np.random.default_rng([seed, 8])
    spin = climbing((18, 900, 22), sampled=100.0, noise=0.03, unbalance=3.0, **STIFF)
    (*before, first, last, end) = spin.stages
    wobble = [(first[0] + n, 900 + float(rng.uniform(-2, 2))) for n in range(1, 21)]
    made = replace(spin, stages=(*before, first, *wobble, last, end))
    told = modes_of(made, seed)
    assert [figure.present for figure in told] == [False], [figure.says for figure in told]


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("rises", [1, -1])
def test_an_edge_in_the_noise_is_no_mode(seed, rises):
    """Seven decibels more from 20 Hz on, or up to it, in the spectrum of forty windows."""
    rng = np.random.default_rng([seed, 9])
    frequencies = np.arange(0, 80, 0.125)
    rough = 10 * np.log10(rng.gamma(1, 1, (40, 640 // 4)).mean(axis=0)).repeat(4)
    edge = np.where(rises * (frequencies - 20) > 0, 7.0, 0.0)
    assert modes_in(frequencies, rough + edge, np.full(640, 40.0)) == []


@pytest.mark.parametrize(("top", "words"), [(1100, "the drum meets it at"), (700, "which reaches 70")])
def test_a_mode_is_met_only_by_a_drum_that_turns_so_fast(top, words):
    """Feet of 14 Hz: a drum of 1100 rpm meets them, one of 700 doesn't; 14 Hz and 11.9 sideways are told of both."""
    spin = climbing((14, top, 10), sampled=200.0, noise=0.03, **{**STIFF, "foot": 14.0, "foot_zeta": 0.05})
    told = modes_of(spin, 1)
    assert told[0].present, told[0].says
    assert all(min(abs(f.value - at) for at in (14.0, 11.9)) <= 2 * f.uncertainty + 0.4 for f in told)
    assert all(words in f.says for f in told), [f.says for f in told]
