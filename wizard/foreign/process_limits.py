"""The environment of another process of this program, and the limits that one sets itself."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

import wizard


def process_environment() -> dict[str, str]:
    """The environment of this process, so that the same program is found, with one thread for linear algebra and texts
    in UTF-8.
    """
    above = str(Path(wizard.__file__).parent.parent)
    path = os.pathsep.join(p for p in (above, os.environ.get("PYTHONPATH", "")) if p)
    return {**os.environ, "PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1", "PYTHONUTF8": "1"}


def limit_process(memory: int, seconds: float) -> None:
    """Limit this process to ``memory`` bytes of address space and ``seconds`` on the processor.

    Linux limits both, macOS the time alone, Windows neither: there whoever started it ends it by the clock.
    """
    try:
        import resource
    except ImportError:  # Windows has no such module
        return
    for kind, most in ((resource.RLIMIT_AS, memory), (resource.RLIMIT_CPU, int(seconds))):
        with suppress(ValueError, OSError):  # macOS limits no address space
            hard = resource.getrlimit(kind)[1]
            resource.setrlimit(kind, (most if hard < 0 else min(most, hard), hard))
