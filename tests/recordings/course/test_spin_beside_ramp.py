"""'Calm at speed' is filled in where the spin is truly quiet beside the ramp, and both figures are said."""

from __future__ import annotations

import numpy as np
import pytest

from tests.helpers.flows.spin_flow import figure, spin
from tests.helpers.spin_recordings import Spin
from tests.helpers.spin_truth import shaking
from tests.recordings.test_level_figures import signal_of, told
from wizard.domain.recording_vocabulary import FigureKind
from wizard.engine.measuring import figure_evidence
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of


def test_the_spin_beside_the_ramp_is_that_of_the_response_that_made_it():
    """Once a turn alone: rms by the frequency response (closed form) at speed over the most of it below 300 rpm."""
    made = Spin(noise=0.002, foot=25.0, zeta=0.04, hold=12.0, tumble=4.0, rate=10.0)
    found = told(signal_of(made), FigureKind.CALM)
    speeds = np.arange(90, 300, 2.0) / 60
    each = (
        np.sqrt(np.sum(shaking(made, speeds) ** 2, axis=0) / 2) * made.unbalance * (2 * np.pi * speeds) ** 2
    )
    top = made.top / 60
    steady = np.sqrt(np.sum(shaking(made, [top])[:, 0] ** 2) / 2) * made.unbalance * (2 * np.pi * top) ** 2
    # Two seconds of a ramp of 10 rpm/s are 20 rpm wide and the tub lags in it: the peak itself is a little higher.
    assert found.value == pytest.approx(steady / each.max(), rel=0.35)
    assert float(found.says.partition(" m/s2 rms")[0].rpartition(" ")[2]) == pytest.approx(steady, rel=0.03)
    assert "in the ramp below 300 rpm at" in found.says and "In the spin at 1100 rpm" in found.says


def answers(*figures):
    """What the shipped flow fills in of a recording with these figures."""
    step = load(folder_of("washer-shake")).inspections["record-spin"].step("take")
    return figure_evidence.answers(step, spin(*figures))


SWAYS = figure(FigureKind.SWAY, 2.96, 0.3)


@pytest.mark.parametrize(
    ("figures", "worst"),
    [
        ((SWAYS, figure(FigureKind.CALM, 2.35, 0.1), figure(FigureKind.WORST, 3.5, 0.1)), None),
        ((SWAYS, figure(FigureKind.CALM, 0.7, 0.03), figure(FigureKind.WORST, 1.2, 0.1)), None),
        ((SWAYS, figure(FigureKind.WORST, 1.2, 0.1)), None),
        ((SWAYS, figure(FigureKind.CALM, 0.3, 0.02), figure(FigureKind.WORST, 3.5, 0.1)), "ramp"),
        (
            (
                figure(FigureKind.SWAY, 0.5, 0.1),
                figure(FigureKind.CALM, 2.0, 0.1),
                figure(FigureKind.WORST, 3.5, 0.1),
            ),
            "speed",
        ),
        ((figure(FigureKind.SWAY, 0.5, 0.1), figure(FigureKind.WORST, 0.9, 0.1)), "nowhere"),
    ],
)
def test_calm_at_speed_is_filled_in_where_it_is_calm(figures, worst):
    """A wide sway with 3 m/s2 at speed is not calm: it is asked, and never 'nowhere' either."""
    assert answers(*figures).get("worst") == worst
