"""Whatever can be read can be analysed: told, or refused in words, and nothing else, with every warning an error."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.cli.recordings.spin_text import lines_of, rows_of, table_of
from wizard.documents.charts.spin_chart import spin_chart
from wizard.engine.messages.spin_record import spin_record
from wizard.recordings.spin_report import spin_report

NOISE = np.random.default_rng(2).standard_normal(4000)

ODD = {
    "nothing moves": lambda t: 0 * t,
    "it leaps once": lambda t: (t > 7) * 5.0,
    "one reading is off": lambda t: (np.abs(t - 7) < 0.01) * 1e6,
    "huge": lambda t: 1e19 * np.sign(np.sin(40 * t)),
    "tiny": lambda t: 1e-18 * np.sin(40 * t),
    "it grows without end": lambda t: np.exp(np.minimum(t * 2, 40)),
    "noise": lambda t: NOISE[: len(t)],
    "one line": lambda t: np.sin(2 * np.pi * 8 * t),
    "only the slowest speed": lambda t: np.sin(2 * np.pi * 1.5 * t) + 1e-6 * NOISE[: len(t)],
    "a sweep": lambda t: np.sin(np.pi * t**2),
    "a sweep that falls": lambda t: np.sin(np.pi * (20 - t) ** 2),
    "on and off": lambda t: np.sin(2 * np.pi * 12 * t) * (np.sin(t) > 0),
    "two levels": lambda t: np.sign(np.sin(2 * np.pi * 9 * t)),
}  # fmt: skip


def analysed(folder, times, values, bearing="6205"):
    """Written, read, analysed and shown in every way."""
    rows = "\n".join(f"{t:.4f},{v!r}" for t, v in zip(times, values.tolist(), strict=True))
    path = folder / "odd.csv"
    path.write_text(f"t (s),x (m/s2)\n{rows}\n", "utf-8")
    report = spin_report(path, 1200.0, bearing)
    assert (
        lines_of(report)
        and rows_of(report)
        and table_of(report)
        and spin_chart(spin_record(report), 60, 6, True)
    )
    for figure in report.figures:
        assert figure.value is None or (np.isfinite(figure.value) and np.isfinite(figure.uncertainty)), figure
    return report


@pytest.mark.parametrize("rate", [25.0, 100.0])
@pytest.mark.parametrize("odd", ODD.values(), ids=ODD.keys())
def test_an_odd_motion_is_told_or_refused(tmp_path, odd, rate):
    """A ValueError that begins with the file's name, or a report whose numbers are numbers."""
    times = np.arange(0, 20, 1 / rate)
    try:
        analysed(tmp_path, times, odd(times))
    except ValueError as problem:
        assert str(problem).startswith("odd.csv: ")


@given(st.integers(0, 2**32 - 1), st.floats(-8, 8), st.sampled_from([0.0, 0.02, 0.3]), st.booleans())
@settings(
    max_examples=examples(40), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_motion_is_told_or_refused(tmp_path, seed, size, uneven, gap):
    """Steps, bursts and lines at random, even or not, with a gap or none."""
    rng = np.random.default_rng(seed)
    times = np.arange(0, 14, 1 / 40)
    times = np.sort(times + uneven / 40 * rng.standard_normal(len(times)))
    times = times[(times < 5) | (times > 7)] if gap else times
    values = rng.choice([0.0, 1.0], len(times)) * rng.standard_normal(len(times))
    values += rng.integers(0, 3) * np.sin(2 * np.pi * rng.uniform(1, 19) * times)
    try:
        analysed(
            tmp_path, times - times[0], 10**size * np.cumsum(values) if seed % 3 == 0 else 10**size * values
        )
    except ValueError as problem:
        assert str(problem).startswith("odd.csv: ")
