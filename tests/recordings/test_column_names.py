"""Columns by their names: x, y and z wherever they stand, and no turning rate for an acceleration."""

from __future__ import annotations

import numpy as np
import pytest

from wizard.measure.vibration import recording_file
from wizard.measure.vibration.column_names import axis_of, other_sensor

SWING = np.cos(np.arange(60) * 0.7)


def loaded(tmp_path, header):
    """A file with this header: times, then in column n a swing of n."""
    names = header.split(",")
    rows = "\n".join(
        f"{n / 50:.3f}," + ",".join(f"{(k + 1) * SWING[n]:.4f}" for k in range(len(names) - 1))
        for n in range(60)
    )
    path = tmp_path / "r.csv"
    path.write_text(f"{header}\n{rows}\n", "utf-8")
    return recording_file.load(path)


def sizes(recording):
    """Name and size of each column that stands in the file."""
    return {c.name: round(float(c.values.max())) for c in recording.columns if not c.parts}


@pytest.mark.parametrize(
    ("header", "read"),
    [
        ("time,gx,gy,gz,ax,ay,az", {"ax": 4, "ay": 5, "az": 6}),
        ("time,gyro_x,gyro_y,gyro_z,acc_x,acc_y,acc_z", {"acc_x": 4, "acc_y": 5, "acc_z": 6}),
        ("time,rotX,rotY,rotZ,x,y,z", {"x": 4, "y": 5, "z": 6}),
        ("time,z,y,x", {"z": 1, "y": 2, "x": 3}),
        ("time,temp,light,AccelX,AccelY,AccelZ", {"AccelX": 3, "AccelY": 4, "AccelZ": 5}),
        ("time,one,two,three,four", {"one": 1, "two": 2, "three": 3}),
        ("time,gx (m/s2),gy (m/s2),gz (m/s2)", {"gx": 1, "gy": 2, "gz": 3}),
    ],
)
def test_accelerations_are_taken_by_their_names(tmp_path, header, read):
    """A gyroscope that stands first is left out in words; what names its unit is believed."""
    got = loaded(tmp_path, header)
    assert sizes(got) == read
    left = len(header.split(",")) - 1 - len(read)
    assert len([note for note in got.notes if "left out" in note]) == left


def test_a_file_of_turning_rates_alone_is_refused(tmp_path):
    """No acceleration is in it, whatever its numbers."""
    with pytest.raises(ValueError, match="gx is neither acceleration nor displacement by its name: left out"):
        loaded(tmp_path, "time,gx,gy,gz")


@pytest.mark.parametrize(
    ("name", "axis", "other"),
    [("x", "x", False), ("X axis", "x", False), ("ay", "y", False), ("linear acceleration z", "z", False),
     ("accelZ", "z", False), ("index", "", False), ("max", "", False), ("gz", "", True), ("Gyroscope x", "x", True),
     ("rotation rate y", "y", True), ("magnetic field z", "z", True), ("lateral", "", False), ("c", "", False)],
)  # fmt: skip
def test_what_a_name_says(name, axis, other):
    """An axis is a word of its own; a word that ends in x is none."""
    assert (axis_of(name), other_sensor(name)) == (axis, other)
