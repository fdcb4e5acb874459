"""Machines that spin empty, each drawn by its seed: healthy, or with a fault; for a table of what is told apart.

Ranges are estimates of our own. An empty drum has little unbalance left; friction is what gets through the rubber
at the ends of its dampers.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
from numpy.random import Generator

from wizard.practice.demo.demo_spin import DemoSpin
from wizard.practice.physics.tub import Tub

OUTER_RING = 3.5848
"""Beats a turn of a 6205 with a defect of its outer ring (Case Western Reserve University bearing data)."""


def drawn(name: str, seed: int) -> DemoSpin:
    """Return a machine of this name: one of ``MOTIONS`` or ``HEARD``. KeyError for another name."""
    changes = {**MOTIONS, **HEARD}[name]
    rng = np.random.default_rng([seed, 34])
    return changes(_healthy(rng), rng)


def _healthy(rng: Generator) -> DemoSpin:
    tub = Tub(
        mass=float(rng.uniform(42, 54)), stiffness=float(rng.uniform(13000, 17000)),
        viscous=float(rng.uniform(110, 170)), friction=float(rng.uniform(10, 20)),
    )  # fmt: skip
    return DemoSpin(
        tub, sideways=float(rng.uniform(0.6, 0.75)), cabinet=float(rng.uniform(29, 36)),
        feet=float(rng.uniform(17, 22)), feet_damping=float(rng.uniform(0.14, 0.22)),
        unbalance=float(rng.uniform(0.006, 0.014)), top=float(rng.uniform(850, 1050)),
        up=float(rng.uniform(14, 22)), down=float(rng.uniform(35, 50)), hold=float(rng.uniform(14, 20)),
        noise=float(rng.uniform(0.01, 0.03)), rate=400.0,
    )  # fmt: skip


def _as_it_is(spin: DemoSpin, _rng: Generator) -> DemoSpin:
    return spin


def _worn_dampers(spin: DemoSpin, rng: Generator) -> DemoSpin:
    tub = replace(spin.tub, viscous=float(rng.uniform(10, 30)), friction=float(rng.uniform(1, 4)))
    return replace(spin, tub=tub, unbalance=float(rng.uniform(0.03, 0.06)))


def _loose_foot(spin: DemoSpin, rng: Generator) -> DemoSpin:
    return replace(
        spin, lifts=float(rng.uniform(0.45, 0.65)), feet=float(rng.uniform(11, 13.5)),
        feet_damping=float(rng.uniform(0.04, 0.08)), unbalance=spin.unbalance * float(rng.uniform(2.0, 3.0)),
    )  # fmt: skip


def _floor(spin: DemoSpin, rng: Generator) -> DemoSpin:
    return replace(
        spin, feet=float(rng.uniform(8, 12)), feet_damping=float(rng.uniform(0.02, 0.05)),
        unbalance=spin.unbalance * float(rng.uniform(2.0, 3.0)),
    )  # fmt: skip


def _spider(spin: DemoSpin, rng: Generator) -> DemoSpin:
    return replace(
        spin, unbalance=float(rng.uniform(0.08, 0.2)), second=float(rng.uniform(0.3, 0.7)),
        knock=float(rng.uniform(4, 7)),
    )  # fmt: skip


def _bearing(spin: DemoSpin, _rng: Generator) -> DemoSpin:
    return replace(spin, defect=OUTER_RING)


MOTIONS: Mapping[str, Callable[[DemoSpin, Generator], DemoSpin]] = {
    "healthy": _as_it_is,
    "worn-dampers": _worn_dampers,
    "loose-foot": _loose_foot,
    "floor": _floor,
    "spider": _spider,
    "bad-load": _as_it_is,
}
"""Each fault and what it makes of a healthy machine; of a bad load an empty spin shows nothing."""

HEARD: Mapping[str, Callable[[DemoSpin, Generator], DemoSpin]] = {"healthy": _as_it_is, "bearing": _bearing}
"""The same of those that a microphone hears."""
