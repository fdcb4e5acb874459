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
    "module", ["units", "judge", "doubts", "gum", "rounding", "water", "electrical", "springs"]
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
    names = loaded("wizard.measure.ringdown, wizard.measure.runout, wizard.measure.levelling")
    assert "numpy" in names
    assert "scipy" not in names
