"""Calculators against reference libraries (the extra 'oracle')."""

import importlib.metadata
import math

import numpy as np
import pytest

from wizard.measure.damping import ringdown
from wizard.measure.mechanics import bearings, rotating
from wizard.measure.vibration import decay_detection, recording_file
from wizard.measure.water_electrical import water

pytestmark = pytest.mark.oracle


@pytest.mark.filterwarnings("ignore")  # the library's own, on import
def test_orders_agree_with_pybearing():
    """Source: pybearing, a 6205 at 1797 rpm: outer 107.364, inner 162.186, ball spin 70.584, cage 11.929 Hz."""
    pytest.importorskip("pybearing")
    from pybearing.analysis import fault_frequencies_analysis as reference
    from pybearing.core.bearing import Bearing

    turn = 1797 / 60
    bearing = Bearing("6205", 25, 52, 15, D_b=0.3126 * 25.4, D_m=1.537 * 25.4, theta=0.0, N_b=9)
    got = bearings.defect_orders(9, 0.3126, 1.537)
    assert got.cage * turn == pytest.approx(reference.eq_f_cage(bearing, turn), rel=1e-4)
    assert got.element * turn == pytest.approx(
        reference.eq_f_rolling_element_about_axis(bearing, turn), rel=1e-4
    )
    assert got.outer * turn == pytest.approx(107.364, abs=1e-3)
    assert got.inner * turn == pytest.approx(162.186, abs=1e-3)
    assert got.element * turn == pytest.approx(70.584, abs=1e-3)
    assert got.cage * turn == pytest.approx(11.929, abs=1e-3)


@pytest.mark.parametrize("reynolds", [500.0, 2000.0, 5e3, 1e5, 3e6])
@pytest.mark.parametrize("rough", [0.0, 1e-4, 1e-2])
def test_friction_factor_agrees_with_fluids(reynolds, rough):
    """Source: fluids.friction_factor (Colebrook, solved)."""
    fluids = pytest.importorskip("fluids")
    expected = fluids.friction_factor(Re=reynolds, eD=rough)
    assert water.friction_factor(reynolds, rough) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("pressure", [1e5, 3e5, 551.6e3])
def test_hose_flow_agrees_with_fluids(pressure):
    """Source: fluids: the loss coefficients of pipe, sharp entrance and exit give the pressure back."""
    fluids = pytest.importorskip("fluids")
    flow = water.hose_flow(pressure, 0.010, 1.5)
    speed = flow / (math.pi / 4 * 0.010**2)
    reynolds = fluids.Reynolds(V=speed, D=0.010, rho=water.DENSITY, mu=water.VISCOSITY)
    heads = fluids.K_from_f(fluids.friction_factor(Re=reynolds), L=1.5, D=0.010) + 0.5 + fluids.exit_normal()
    assert fluids.dP_from_K(heads, rho=water.DENSITY, V=speed) == pytest.approx(pressure, rel=1e-6)


@pytest.mark.parametrize("zeta", [0.02, 0.0717, 0.3])
def test_ring_down_agrees_with_control(zeta):
    """Source: control.damp for frequency and damping, control.initial_response for the decay to fit."""
    control = pytest.importorskip("control")
    omega = math.sqrt(14000 / 50)
    tub = control.ss([[0, 1], [-(omega**2), -2 * zeta * omega]], [[0], [0]], [[1, 0]], [[0]])
    frequencies, ratios, _poles = control.damp(tub, doprint=False)
    decay = control.initial_response(tub, np.linspace(0, 3, 181), [20.0, 0.0])
    got = ringdown.fit(decay.time, decay.outputs)
    assert got.kind == "viscous"
    assert got.frequency * 2 * math.pi == pytest.approx(frequencies[0], rel=1e-4)
    assert got.damping_ratio == pytest.approx(ratios[0], rel=1e-3)


@pytest.mark.parametrize("ratio", [0.3, 1.0, 1.6, 7.0])
@pytest.mark.parametrize("zeta", [0.05, 0.3])
def test_response_and_transmissibility_agree_with_control(ratio, zeta):
    """Source: control's frequency response of s^2 over, and (2 zeta s + 1) over, s^2 + 2 zeta s + 1."""
    control = pytest.importorskip("control")
    below = [1, 2 * zeta, 1]
    orbit = control.tf([1, 0, 0], below)(1j * ratio)
    passed = control.tf([2 * zeta, 1], below)(1j * ratio)
    assert rotating.unbalance_response(ratio, zeta) == pytest.approx(abs(orbit), rel=1e-9)
    assert rotating.transmissibility(ratio, zeta) == pytest.approx(abs(passed), rel=1e-9)


def measured_impact():
    """Return the times and the second channel of the impact test, found by path: the package needn't import."""
    try:
        files = importlib.metadata.files("vibration_toolbox") or []
    except importlib.metadata.PackageNotFoundError:
        pytest.skip("needs the extra 'oracle'")
    from scipy.io import loadmat

    (path,) = [file.locate() for file in files if file.name == "case1.mat"]
    recording = loadmat(path)
    return (
        recording["Time_domain"].ravel(),
        recording["Time_chan_1"].ravel(),
        recording["Time_chan_2"].ravel(),
    )


def test_a_measured_mode_gives_its_frequency_and_damping():
    """Source: case1.mat of vibration_toolbox 0.6.10 (MIT): 212.09 +- 0.1 Hz (its docstring: 212.0925), viscous.

    The second channel after the blow, band-passed round the mode; damping ratio 0.00081 to 0.00089.
    """
    from scipy.signal import butter, sosfiltfilt

    time, blow, answer = measured_impact()
    after = int(np.argmax(np.abs(blow))) + 64  # 50 ms at 1280 Hz
    mode = sosfiltfilt(butter(4, (190, 235), "bandpass", fs=1280, output="sos"), answer)
    got = ringdown.fit(time[after:], mode[after:])
    assert got.kind == "viscous"
    assert got.frequency == pytest.approx(212.09, abs=0.1)
    assert 0.00081 <= got.damping_ratio <= 0.00089


def test_a_measured_recording_is_read_and_fitted_as_acceleration(tmp_path):
    """Source: as above. The same channel written as a logger's CSV, loaded, and its accelerations fitted.

    A viscous decay keeps its frequency and its damping ratio when it is differentiated twice.
    """
    from scipy.signal import butter, sosfiltfilt

    time, blow, answer = measured_impact()
    mode = sosfiltfilt(butter(4, (190, 235), "bandpass", fs=1280, output="sos"), answer)
    after = int(np.argmax(np.abs(blow))) + 64  # 50 ms at 1280 Hz
    lines = [f"{t:.7f};{v:.8e}".replace(".", ",") for t, v in zip(time, mode, strict=True)]
    (tmp_path / "impact.csv").write_text("\n".join(["time (s);channel 2 (m/s^2)", *lines]), "utf-8")
    recording = recording_file.load(tmp_path / "impact.csv")
    assert (
        recording.rate == pytest.approx(1280, rel=1e-3) and recording.comma and len(recording.stamps) == 4096
    )
    told = decay_detection.decay_report(recording, 0, decay_detection.Decay(after, 4096, 1 / 212))
    assert told.fit.kind == "viscous"
    assert told.fit.frequency == pytest.approx(212.09, abs=0.1)
    assert 0.00081 <= told.fit.damping_ratio <= 0.00089
    found = decay_detection.decay_report(recording, 0, decay_detection.find(recording)).fit
    assert found.frequency == pytest.approx(212.09, abs=0.2) and 0.0006 <= found.damping_ratio <= 0.0011
