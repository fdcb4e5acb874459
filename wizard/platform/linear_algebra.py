"""How many threads the linear algebra takes: one. What is computed here is small, and threads that share two busy cores
wait for each other longer than they work: a ranking takes five times as long with them.
"""

from __future__ import annotations

import os

THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
"""What the libraries under numpy look for as they are loaded."""


def one_thread() -> None:
    """Ask for one thread, unless whoever started the program asked for another number; before numpy is loaded."""
    for variable in THREADS:
        os.environ.setdefault(variable, "1")
