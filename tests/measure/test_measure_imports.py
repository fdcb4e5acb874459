"""What the first question needs must not wait for numpy or scipy."""

import subprocess
import sys

import pytest


def loaded(modules):
    """Return the names of the modules in a fresh interpreter after importing ``modules``."""
    code = f"import sys; import {modules}; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, encoding="utf-8"
    )
    return set(done.stdout.split())


@pytest.mark.parametrize(
    "module",
    [
        "quantities.units",
        "uncertainty.conformity",
        "uncertainty.reading_doubts",
        "uncertainty.propagation",
        "quantities.rounding",
        "water_electrical.water",
        "water_electrical.electrical",
        "mechanics.springs",
    ],
)
def test_no_numpy_before_it_is_needed(module):
    """Typing, judging and the plain formulas run on the standard library alone."""
    heavy = {name.partition(".")[0] for name in loaded(f"wizard.measure.{module}")} & {
        "numpy",
        "scipy",
        "pint",
    }
    assert heavy == set()


def test_scipy_comes_late():
    """Importing the calculators that fit loads numpy, not yet scipy."""
    names = loaded(
        "wizard.measure.damping.ringdown, wizard.measure.mechanics.runout, wizard.measure.mechanics.levelling"
    )
    assert "numpy" in names
    assert "scipy" not in names
