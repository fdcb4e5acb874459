"""Every observable by its name: what a file may say that a step senses."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.practice.observables import hanging, settling_sensed, spinning, standing, turning
from wizard.practice.observables.observable import Observable

OBSERVABLES: Mapping[str, Observable] = {
    one.name: one
    for family in (standing, hanging, settling_sensed, turning, spinning)
    for one in family.OBSERVABLES
}
"""All of them; a name stands for one."""
