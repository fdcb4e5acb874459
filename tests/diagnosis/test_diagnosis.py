"""The package as a whole: late imports."""

from __future__ import annotations

import subprocess
import sys


def test_importing_the_package_brings_no_numpy() -> None:
    """numpy arrives with the first module that computes, not with the package nor with what combines evidence."""
    code = (
        "import sys, wizard.diagnosis.evidence_combination; assert 'numpy' not in sys.modules; "
        "import wizard.diagnosis.noisy_or.inference; assert 'numpy' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
