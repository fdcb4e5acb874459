"""What the name of a recording's column says: which axis of a phone it is, and whether another sensor wrote it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

AXES = "xyz"

_WORD = re.compile(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])|\d+")
_AXIS = re.compile(r"(?:a|la|acc|accel|acceleration|accelerometer|linacc)?([xyz])")
_OTHERS = re.compile(
    r"[gwmr][xyz]|gyr.*|rot.*|angular|omega|magnet.*|compass|orient.*|quat.*|roll.*|pitch.*|yaw.*|azimuth|attitude|"
    r"grav.*|baro.*|press.*|temp.*|humid.*|lat|latitude|lon|lng|longitude|alt|altitude|gps|battery"
)


def _words(name: str) -> list[str]:
    """Return the words of a name: 'gyroX', 'gyro_x' and 'Gyro x' are two."""
    return [word.casefold() for word in _WORD.findall(name)]


def other_sensor(name: str) -> bool:
    """Return whether a column is called as one that is no acceleration: turning, a compass, gravity alone, weather."""
    return any(_OTHERS.fullmatch(word) for word in _words(name))


def axis_of(name: str) -> str:
    """Return the axis that a column is called by: 'x' of 'x', 'acc_x', 'ax', 'X axis'; '' of one that names none."""
    found = [match[1] for word in _words(name) if (match := _AXIS.fullmatch(word))]
    return found[-1] if found else ""


def three_axes(names: Mapping[int, str]) -> Sequence[int]:
    """Return which columns are the three axes of one sensor, in the order in which they stand; none if none are.

    ``names``: of the columns that may be. Of several sensors the first.
    """
    sensors: dict[str, dict[str, int]] = {}
    for index, name in names.items():
        axis = axis_of(name)
        if axis:
            stem = " ".join(
                _AXIS.sub(lambda m: m[0][:-1], word) if _AXIS.fullmatch(word) else word
                for word in _words(name)
            )
            sensors.setdefault(stem, {}).setdefault(axis, index)
    return next((sorted(axes.values()) for axes in sensors.values() if len(axes) == len(AXES)), [])
