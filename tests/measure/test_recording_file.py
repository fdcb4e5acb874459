"""A recording's file: what is found by looking, how well it was sampled, and what is wrong with a broken one."""

import math

import numpy as np
import pytest

from tests.helpers.made_recordings import csv, phone
from wizard.measure.vibration import (
    range_end,
    recording_file,
    recording_text,
    recording_units,
)

COUNT = 40
TIMES = [n / 100 for n in range(COUNT)]
SWING = [10 * math.cos(0.3 * n) * 0.97**n for n in range(COUNT)]


def load(tmp_path, data, name="r.csv"):
    """Write a text or bytes, and load it."""
    path = tmp_path / name
    path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
    return recording_file.load(path)


def rows(separator=",", comma=False, header="", times=TIMES, values=SWING):
    """Lines of a time and a value."""
    lines = [f"{t}{separator}{v:.4f}" if isinstance(t, str) else f"{t:g}{separator}{v:.4f}"
             for t, v in zip(times, values, strict=True)]  # fmt: skip
    text = "\n".join(lines)
    return (f"{header}\n" if header else "") + (text.replace(".", ",") if comma else text) + "\n"


@pytest.mark.parametrize(
    ("separator", "comma", "named"),
    [
        (",", False, "commas"),
        (";", False, "semicolons"),
        (";", True, "semicolons"),
        ("\t", False, "tabs"),
        ("\t", True, "tabs"),
        (" ", False, "spaces"),
        ("   ", True, "spaces"),
    ],
)
@pytest.mark.parametrize("header", ["", "Time [s]{0}x (m/s^2)"])
def test_separator_and_decimal_mark_are_found(tmp_path, separator, comma, named, header):
    """The same numbers, however they are written."""
    spaces = separator.isspace() and separator != "\t"
    got = load(tmp_path, rows(separator, comma, "" if spaces else header.format(separator)))
    assert (got.separator, got.comma) == (named, comma)
    assert got.time == pytest.approx(TIMES) and got.columns[0].values == pytest.approx(SWING, abs=1e-4)
    assert got.rate == pytest.approx(100) and got.jitter < 1e-9 and got.gaps == ()


def test_quoted_cells_with_decimal_commas(tmp_path):
    """'"0,01","1,5"': a comma parts them, and a comma is the decimal mark in them."""
    text = "\n".join(
        f'"{t:.2f}","{v:.3f}"'.replace(".", ",").replace('","', '","')
        for t, v in zip(TIMES, SWING, strict=True)
    )
    got = load(tmp_path, text)
    assert got.comma and got.time[-1] == pytest.approx(0.39) and got.columns[0].values[0] == pytest.approx(10)


@pytest.mark.parametrize(
    ("header", "time", "unit", "factor"),
    [
        ("Time [s],x (m/s^2)", "s", "m/s2", 1.0),
        ("Time (s),Acceleration x (m/s²)", "s", "m/s2", 1.0),
        ("time (s),a (m s^-2)", "s", "m/s2", 1.0),
        ("t (s),x (g)", "s", "g", 9.80665),
        ("time_s,acc_mg", "s", "mg", 9.80665e-3),
        ("time [sec],x [mm/s2]", "s", "mm/s2", 1e-3),
        ("t (s),height (mm)", "s", "mm", 1e-3),
        ("t (s),height (in)", "s", "in", 0.0254),
        ("t (s),height (µm)", "s", "um", 1e-6),
    ],
)
def test_units_in_the_header(tmp_path, header, time, unit, factor):
    """As phones and loggers write them. One standard gravity is 9.80665 m/s2 (CGPM 1901), an inch 25.4 mm."""
    got = load(tmp_path, rows(header=header))
    (column,) = got.columns
    assert (got.time_unit, got.time_sure, column.unit, column.sure) == (time, True, unit, True)
    assert column.si == pytest.approx(np.array(SWING) * factor, rel=1e-3, abs=1e-3 * factor)


@pytest.mark.parametrize(("unit", "scale"), [("ms", 1e3), ("us", 1e6), ("ns", 1e9)])
@pytest.mark.parametrize("named", [True, False])
def test_units_of_time(tmp_path, unit, scale, named):
    """Named in the header, or told by the usual step; the start need not be 0."""
    header = f"time ({unit}),x (g)" if named else ""
    got = load(tmp_path, rows(header=header, times=[f"{1e12 + t * scale:.0f}" for t in TIMES]))
    assert (got.time_unit, got.time_sure) == (unit, named) and got.time == pytest.approx(TIMES)


@pytest.mark.parametrize(
    "form",
    [
        "{0:02d}:{1:02d}:{2:06.3f}",
        "2026-03-02T{0:02d}:{1:02d}:{2:06.3f}Z",
        "2026-03-02 {0:02d}:{1:02d}:{2:06.3f}",
    ],
)
def test_clock_times_run_over_midnight(tmp_path, form):
    """With a date or without."""
    stamps = []
    for t in TIMES:
        at = (86399.8 + t) % 86400
        stamps.append(form.format(int(at // 3600), int(at // 60 % 60), at % 60))
    got = load(tmp_path, rows(times=stamps))
    assert got.time_unit == "clock" and got.time == pytest.approx(TIMES, abs=1e-3)


def test_what_stands_before_the_numbers_is_passed_over(tmp_path):
    """A mark of the encoding, lines of the logger's own, names and units on two lines; an index is no time."""
    head = "\ufeffLogger 4\nserial;77\nno;Time;X;Heat\n-;s;g;degC\n"
    body = "".join(f"{n};{t:.2f};{v:.3f};21.5\n" for n, (t, v) in enumerate(zip(TIMES, SWING, strict=True)))
    got = load(tmp_path, head + body)
    assert [(c.name, c.unit, c.sure) for c in got.columns] == [("X", "g", True)]
    assert got.time_sure and got.notes == ("Heat (degC) is neither acceleration nor displacement: left out.",)
    assert got.time == pytest.approx(TIMES)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "latin-1"])
def test_encodings(tmp_path, encoding):
    """With a mark or in the old Western one."""
    assert load(tmp_path, rows(header="Time (s),x (m/s²)").encode(encoding)).columns[0].unit == "m/s2"


def test_three_axes_of_a_phone(tmp_path):
    """Each is offered; a magnitude has lost its sign, and what is no acceleration is left out, and said."""
    time, x, y, z = phone()
    header = "Time (s),X (m/s^2),Y (m/s^2),Z (m/s^2),Absolute (m/s^2),gyro (rad/s)"
    got = load(tmp_path, csv(time, x, y, z, np.hypot(x, z), x, header=header))
    assert [c.name for c in got.columns] == ["X", "Y", "Z", "X+Y+Z along the swing"]
    assert got.notes == (
        "Absolute has lost its sign: left out.",
        "gyro (rad/s) is neither acceleration nor displacement: left out.",
    )
    assert got.rate == pytest.approx(100, rel=0.01) and 0.01 < got.jitter < 0.03


def test_gravity_tells_a_unit_that_is_not_named(tmp_path):
    """One g on the three axes together; else m/s2 is taken; both are guesses, and said to be."""
    time, x, y, z = phone()
    for scale, unit in ((1.0, "m/s2"), (1 / 9.80665, "g"), (1000 / 9.80665, "mg")):
        got = load(tmp_path, csv(time, x * scale, y * scale, z * scale, header=""))
        assert {c.unit for c in got.columns} == {unit} and not got.columns[0].sure
        said = " ".join(recording_file.doubts(got, got.columns[2]))
        assert f"The file doesn't name the unit of column 4: {unit} is a guess." in said
    assert got.with_units(time="ms", column=0, value="g").columns[0].unit == "g"
    with pytest.raises(ValueError, match=r"^unit: "):
        got.with_units(value="furlong")


def test_gaps_unevenness_and_clipping_are_said(tmp_path):
    """Ten readings taken out, uneven steps, and the top cut off: each with its place."""
    time, _x, _y, z = phone()
    rng = np.random.default_rng(3)
    keep = np.r_[0:150, 160 : len(time)]
    uneven = np.sort(time[keep] + 0.003 * rng.uniform(-1, 1, len(keep)))
    got = load(tmp_path, csv(uneven, np.clip(z[keep], 6.8, 12.8), header="Time (s),Z (m/s^2)"))
    said = " ".join(recording_file.doubts(got, got.columns[0]))
    assert len(got.gaps) == 1 and got.gaps[0].seconds == pytest.approx(0.11, abs=0.01)
    assert "1 gap, 0.11 s at 1.49 s: don't trust a swing across it." in said
    assert "The times are uneven by" in said and "Z came to the end of its range, last at 3." in said
    assert "Nothing faster than 40 Hz can be told" in said


def test_a_coarse_reading_that_turns_or_is_held_is_not_clipped():
    """Half millimetres: where it turns several readings are alike, and where it was held too."""
    held = np.full(50, 20.0)
    swing = np.round(40 * np.cos(np.linspace(0, 20, 400)) * np.exp(-np.linspace(0, 2, 400))) / 2
    assert not range_end.clipped(np.concatenate([held, swing])).any()
    assert range_end.clipped(np.clip(np.cos(np.linspace(0, 20, 400)), -0.7, 0.7)).any()


LONG_LINE = "r.csv: line 1 has more than 4000 characters, which no line of a recording has. Export it as CSV."
NO_TABLE = (
    "r.csv: no line of it has a time and a number beside it. Export the recording as CSV with a time column."
)
BROKEN = [
    ("empty", "", "r.csv: it is empty. Record again, or name another file."),
    ("blank", "\n \n", "r.csv: it is empty. Record again, or name another file."),
    ("one column", "x\n1\n2\n3\n", NO_TABLE),
    ("words", "a,b\nc,d\n", NO_TABLE),
    ("short", rows(times=TIMES[:9], values=SWING[:9]),
     "r.csv: 9 lines of numbers, 16 or more are needed. Record for 3 s or longer."),
    ("endless cell", '"' + "x" * 200_000, LONG_LINE),
    ("binary", b"PK\x03\x04\0\0\0rubbish", "r.csv: this is no text. Export the recording as CSV, then name that file."),
    ("odd utf-16", b"\xff\xfea", "r.csv: this is no text. Export the recording as CSV, then name that file."),
    ("huge", b"0.01,1\n" * 2_900_000, "r.csv: more than 20 MB. Cut out the part with the swings, or record less."),
    ("only heat", rows(header="t (s),heat (degC)"), "r.csv: no column of acceleration or displacement beside the time. "
     "heat (degC) is neither acceleration nor displacement: left out. "
     "Export one, with its unit in the header."),
]  # fmt: skip


@pytest.mark.parametrize(("data", "says"), [b[1:] for b in BROKEN], ids=[b[0] for b in BROKEN])
def test_a_broken_file_says_what_and_how_to_mend_it(tmp_path, data, says):
    """The exact text, the file's name first."""
    with pytest.raises(ValueError) as caught:
        load(tmp_path, data)
    assert str(caught.value) == says


@pytest.mark.parametrize(
    ("new", "says"),
    [
        ("0.05,nan", 'line 7, column 2 (x (g)): "nan" is no number. Take that line out, or record again.'),
        ("0.05,inf", 'line 7, column 2 (x (g)): "inf" is no number. Take that line out, or record again.'),
        ("0.05", "line 7 has 1 column, the lines before it have 2. Mend that line, or take it out."),
        (",1", 'line 7, column 1 (t (s)): nothing stands there. Take that line out, or record again.'),
        ("0.05,1e999", 'line 7, column 2 (x (g)): "1e999" is no number. Take that line out, or record again.'),
        ("0.05,1,2", "line 7 has 3 columns, the lines before it have 2. Mend that line, or take it out."),
        ("0.03,1", "line 7, column 1 (t (s)): the time goes back, from 0.04 to 0.03. "
         "Put the lines in their order, or cut the file there."),
    ],
)  # fmt: skip
def test_a_broken_line_is_named(tmp_path, new, says):
    """Line and column as an editor counts them, what stands there, and how to mend it."""
    lines = rows(header="t (s),x (g)").splitlines()
    lines[6] = new
    with pytest.raises(ValueError, match=r"^r\.csv: line 7") as caught:
        load(tmp_path, "\n".join(lines))
    assert str(caught.value) == f"r.csv: {says}"


def test_two_lines_of_one_time_refuse_no_file(tmp_path):
    """A phone hands over two readings at once: the second lies half way to the next time, and it is said."""
    lines = rows(header="t (s),x (g)").splitlines()
    lines[6] = lines[5].split(",")[0] + ",3"
    got = load(tmp_path, "\n".join(lines))
    assert got.notes == ("1 line has the time of the line before: spread evenly to the next time.",)
    assert np.all(np.diff(got.time) > 0) and got.time[5] == pytest.approx(0.05)
    assert got.time == pytest.approx(TIMES) and got.columns[0].values[5] == 3


def test_coarse_times_are_spread(tmp_path):
    """Four readings a stamp, as a logger that writes hundredths."""
    got = load(tmp_path, rows(times=[f"{t // 4 / 25:.2f}" for t in range(COUNT)]))
    assert got.time == pytest.approx(np.arange(COUNT) / 100) and "30 lines have" in got.notes[0]


def test_times_that_stand_still_are_no_recording(tmp_path):
    """Nothing can be told from them."""
    with pytest.raises(ValueError, match="the time stands still"):
        load(tmp_path, rows(header="t (s),x (g)", times=["0.5"] * COUNT))


def test_a_second_column_of_time_is_not_offered(tmp_path):
    """Taken as an acceleration it ended the program by an IndexError."""
    text = "\n".join(f"{t:.2f},{t + 0.001:.3f},{v:.3f}" for t, v in zip(TIMES, SWING, strict=True))
    got = load(tmp_path, f"t (s),since start,x (g)\n{text}")
    assert [c.name for c in got.columns] == ["x"]
    bare = load(tmp_path, text)
    assert [c.name for c in bare.columns] == ["column 3"] and "only ever rises" in bare.notes[0]


def test_a_last_line_that_was_cut_short_is_left_out_and_said(tmp_path):
    """A logger that lost its power."""
    got = load(tmp_path, rows(header="t (s),x (g)") + "0.4")
    assert len(got.stamps) == COUNT and got.notes == ("The last line was cut short and is left out.",)


def test_an_unreadable_file_is_an_os_error(tmp_path):
    """Not a problem of its text."""
    with pytest.raises(FileNotFoundError):
        recording_file.load(tmp_path / "none.csv")


def test_every_name_of_a_unit_leads_to_one():
    """The table of spellings closes."""
    for unit in (*recording_units.VALUES, *recording_units.TIMES):
        assert recording_units.unit_in(f"x ({unit})") == unit
    for spelt in recording_units._SAME:
        assert recording_units.unit_in(f"x [{spelt}]") in {*recording_units.VALUES, *recording_units.TIMES}
    with pytest.raises(ValueError, match=r"^unit: "):
        recording_units.factor("s")


def test_text_that_is_no_table_never_ends_otherwise_than_in_a_value_error():
    """Rubbish of many kinds: a table, or a ValueError."""
    rng = np.random.default_rng(5)
    signs = list('0123456789.,;:\t -+eE"()[]\n\r#xT/²')
    for _ in range(400):
        text = "".join(rng.choice(signs, int(rng.integers(1, 300))))
        try:
            found = recording_text.table(text)
        except ValueError:
            continue
        assert np.isfinite(found.values).all()


@pytest.mark.parametrize("path", [None, 3, b"r.csv", True, []], ids=repr)
def test_what_is_no_path_is_named(path):
    """A clear word instead of a fault of the program."""
    with pytest.raises(ValueError, match=r"^path: must be that of a file"):
        recording_file.load(path)
