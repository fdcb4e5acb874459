"""What can be sensed of a machine: a name, a unit, and how it follows from what the machine is made of."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from wizard.practice.machines.practice_machine import Machine

Readout = tuple[tuple[float, ...], ...]
"""SI: a row an item, a number a way of reading it. One item stands for all, one way for each."""


@dataclass(frozen=True, slots=True)
class Observable:
    """An observable: the ``unit`` its edges are written in, and what it is on a machine, without any error."""

    name: str
    unit: str
    read: Callable[[Machine], Readout]

    def value(self, machine: Machine) -> float:
        """Return the one number, SI, that an answer is chosen by."""
        return self.read(machine)[0][0]


def single(name: str, unit: str, read: Callable[[Machine], float]) -> Observable:
    """Return an observable of one number."""
    return Observable(name, unit, lambda machine: ((float(read(machine)),),))


def list_of(name: str, unit: str, read: Callable[[Machine], Iterable[float]]) -> Observable:
    """Return an observable of several items, each read one way."""
    return Observable(name, unit, lambda machine: tuple((float(v),) for v in read(machine)))
