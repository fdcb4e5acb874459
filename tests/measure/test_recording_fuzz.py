"""Whatever file is taken for a recording, it is read and fitted, or refused in words: no other error, ever."""

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.measure.vibration import decay_detection, recording_file


def taken(folder, data):
    """Read, doubted and fitted, each column of it."""
    path = folder / "r.csv"
    path.write_bytes(data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass"))
    recording = recording_file.load(path)
    for number, column in enumerate(recording.columns):
        assert recording_file.doubts(recording, column)
        try:
            decay_detection.decay_report(recording, number, decay_detection.find(recording, number))
        except ValueError as problem:
            assert str(problem)


def ring(line):
    """A tub that swings out, at a hundred readings a second."""
    return math.exp(-0.012 * line) * math.sin(0.09 * line)


ODD = {
    "two columns of time": lambda n: f"{n / 100},{n / 100 + 0.001},{ring(n)}",
    "the same time twice": lambda n: f"{n / 100},{n / 100},{ring(n)}",
    "nothing but times": lambda n: f"{n / 100},{n / 100 + 0.001}",
    "a value that stands still": lambda n: f"{n / 100},5",
    "huge values": lambda n: f"{n / 100},{(-1) ** n * 1e308}",
    "large values": lambda n: f"{n / 100},{(-1) ** n * 1e19}",
    "tiny values": lambda n: f"{n / 100},{ring(n) * 1e-308}",
    "huge times": lambda n: f"{n * 1e300},{ring(n)}",
    "times that hardly rise": lambda n: f"{n * 1e-320},{ring(n)}",
    "a leap of the time": lambda n: f"{n / 100 if n < 15 else 1e12 + n},{ring(n)}",
    "times that grow": lambda n: f"{math.exp(n / 2)},{ring(n)}",
    "a knock at the start": lambda n: f"{n / 100},{int(n == 0)}",
    "a knock at the end": lambda n: f"{n / 100},{int(n in (15, 19, 399))}",
    "a ramp": lambda n: f"{n / 100},{n * 2}",
    "a swing": lambda n: f"{n / 100},{ring(n)}",
}  # fmt: skip


@pytest.mark.parametrize(
    "lines", [17, 400, *(pytest.param(n, marks=pytest.mark.nightly) for n in (16, 20, 30))]
)
@pytest.mark.parametrize("line", ODD.values(), ids=ODD.keys())
def test_odd_columns_are_fitted_or_refused_in_words(tmp_path, line, lines):
    """Two columns of time in twenty lines ended the program by an IndexError; a leap of the time took 728 TiB."""
    try:
        taken(tmp_path, "\n".join(line(n) for n in range(lines)))
    except ValueError as problem:
        assert str(problem).startswith("r.csv: ")


cells = st.one_of(
    st.floats(allow_nan=False).map(repr),
    st.integers(-(10**22), 10**22).map(str),
    st.sampled_from(["", "x", "12:00:01", "0,5", '"', "1e400", "-0", "nan", "\x1b[2J"]),
)


@given(st.lists(st.lists(cells, max_size=4), max_size=40), st.sampled_from(",;\t "), st.sampled_from("\n\r"))
@settings(
    max_examples=examples(200), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_table_is_taken_or_refused(tmp_path, rows, separator, end):
    """A ValueError that names the file, and nothing a terminal would obey in it."""
    text = end.join(separator.join(row) for row in rows)
    try:
        taken(tmp_path, text)
    except ValueError as problem:
        assert str(problem).startswith("r.csv: ") and "\x1b" not in str(problem)


@given(st.lists(st.floats(-1e20, 1e20), min_size=16, max_size=60), st.floats(1e-7, 1e6))
@settings(
    max_examples=examples(100), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_values_at_even_times_are_fitted_or_refused(tmp_path, values, step):
    """However large, small or wild."""
    try:
        taken(tmp_path, "\n".join(f"{n * step!r},{value!r}" for n, value in enumerate(values)))
    except ValueError as problem:
        assert str(problem).startswith("r.csv: ")


@given(st.binary(max_size=300))
@settings(
    max_examples=examples(200), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_bytes_are_taken_or_refused(tmp_path, data):
    """No file is too odd."""
    try:
        taken(tmp_path, data)
    except ValueError as problem:
        assert str(problem).startswith("r.csv: ")
