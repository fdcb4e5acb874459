"""At which speed the drum turned at a moment: seen, or between what is seen before and after it."""

from __future__ import annotations

import numpy as np

from wizard.recordings.course.speed_course import SpeedCourse

_BETWEEN = 10.0  # s between two speeds that are seen, over which a drum's is interpolated (an estimate)
_BEYOND = 4.0  # s before the first speed that is seen
_NEAR = 4.0  # s of the course that tell its slope
_FEWEST = 4  # points of the course that a slope is taken from
_SLOWEST = 1.0  # turns a second: slower is no ramp


def near_speed(course: SpeedCourse, at: float) -> tuple[float, bool] | None:
    """Return the speed at a time (s), turns a second, and whether it is seen there; None where it isn't known.

    Between two parts that are seen, ten seconds apart at most, it is interpolated; up to four seconds before what is
    seen it is extrapolated by the slope there, as far as a drum turns in a ramp.
    """
    seen = ~np.isnan(course.speed)
    before, after = course.at[seen & (course.at <= at)], course.at[seen & (course.at >= at)]
    own = float(course.speed_at(np.array([at]))[0])
    if not np.isnan(own):
        return own, True
    if not len(after):
        return None
    if len(before) and after[0] - before[-1] <= _BETWEEN:
        return float(np.interp(at, course.at[seen], course.speed[seen])), False
    near = seen & (course.at >= after[0]) & (course.at <= after[0] + _NEAR)
    if after[0] - at > _BEYOND or near.sum() < _FEWEST:
        return None
    slope, level = np.polyfit(course.at[near] - at, course.speed[near], 1)
    return (float(level), False) if slope > 0 and level >= _SLOWEST else None
