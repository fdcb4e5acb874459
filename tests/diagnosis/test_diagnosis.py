"""The package as a whole: late imports and public names."""

from __future__ import annotations

import subprocess
import sys

import pytest

import wizard.diagnosis


def test_importing_the_package_brings_no_numpy() -> None:
    """numpy arrives with the first use of a name, not with the package."""
    code = (
        "import sys, wizard.diagnosis as d; assert 'numpy' not in sys.modules; "
        "d.combine(0.3, 0.4); assert 'numpy' not in sys.modules; d.posterior; assert 'numpy' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("name", wizard.diagnosis.__all__)
def test_every_public_name_is_there_and_documented(name: str) -> None:
    """Each name of the package can be had and says what it is."""
    assert getattr(wizard.diagnosis, name).__doc__


def test_a_name_it_has_not_is_an_attribute_error() -> None:
    """A wrong name is an AttributeError, as of any module."""
    with pytest.raises(AttributeError, match="no attribute 'guess'"):
        _ = wizard.diagnosis.guess
