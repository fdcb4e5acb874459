"""A file shown by the program that this system has for it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from threading import Thread

VIEWER = "STEADFOOT_VIEWER"
"""The variable that names another program for it."""


def show_file(path: Path) -> str:
    """Have a file shown, and go on; why it can't be, else nothing. Whether a window came up can't be told from here."""
    own = os.environ.get(VIEWER, "")
    starter = getattr(os, "startfile", None)  # Windows alone has it.
    try:
        if not own and starter is not None:
            starter(path)
            return ""
        program = shutil.which(own or ("open" if sys.platform == "darwin" else "xdg-open"))
        if program is None:
            wanted = own or "a viewer of pictures"
            return f"There is no {wanted} here to open it with ({VIEWER} names one). It lies at {path}."
        child = subprocess.Popen(
            [program, str(path)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        Thread(target=child.wait, daemon=True).start()  # Until it ends, so that nothing of it is left.
    except OSError as error:
        return f"It can't be opened ({error.strerror or error}). It lies at {path}."
    return ""
