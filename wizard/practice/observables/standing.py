"""What is sensed of how a machine stands: slope, feet, floor, hoses."""

from __future__ import annotations

from wizard.practice.declaring.practice_vocabulary import MachineQuantity
from wizard.practice.machines.practice_machine import SET, Machine
from wizard.practice.observables.observable import Observable, Readout, list_of, single

THIS_YEAR = 2026.0
"""The year in which practice jobs are played: hoses bear the year of their making."""
_YEAR = 365.25 * 86400.0


def _turned(machine: Machine, left: float = 1.0) -> Readout:
    """Return each slope as laid and with the tool turned round: the second reads the other way."""
    return tuple((left * s, -left * s) for s in machine.items(MachineQuantity.SLOPE))


OBSERVABLES = (
    Observable("slope-turned", "deg", _turned),
    Observable("set-slope-turned", "deg", lambda m: _turned(m, SET)),
    list_of("foot-lift", "mm", lambda m: m.items(MachineQuantity.FOOT_LIFT)),
    list_of("set-foot-lift", "mm", lambda m: [SET * max(m.items(MachineQuantity.FOOT_LIFT))]),
    single("largest-foot-lift", "mm", lambda m: max(m.items(MachineQuantity.FOOT_LIFT))),
    list_of("foot-out", "mm", lambda m: m.items(MachineQuantity.FOOT_OUT)),
    list_of("front-foot-out", "mm", lambda m: m.items(MachineQuantity.FOOT_OUT)[:2]),
    single("rear-gap", "mm", lambda m: m.one(MachineQuantity.REAR_GAP)),
    single("hose-made", "count", lambda m: float(int(THIS_YEAR - m.one(MachineQuantity.HOSE_AGE) / _YEAR))),
    single("hose-age", "years", lambda m: m.one(MachineQuantity.HOSE_AGE)),
    single("drain-time", "s", lambda m: m.one(MachineQuantity.DRAIN_TIME)),
    single("water-left", "kg", lambda m: m.one(MachineQuantity.WATER_LEFT)),
)
