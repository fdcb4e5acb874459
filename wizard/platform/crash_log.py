"""A defect of the program, kept for whoever fixes it; the technician gets one plain line."""

from __future__ import annotations

import traceback
from pathlib import Path

from wizard.journal.durable_io import make_folder, private

NAME = "trouble.log"


def keep(root: Path, error: BaseException) -> str:
    """Write the traceback to HOME/trouble.log and return what to tell the person."""
    return keep_text(root, "".join(traceback.format_exception(error)))


def keep_text(root: Path, text: str) -> str:
    """Write a text on the defect to HOME/trouble.log and return what to tell the person."""
    path = root / NAME
    try:
        make_folder(root)
        with open(path, "a", encoding="utf-8", errors="replace", opener=private) as log:
            log.write(f"{text}\n")
    except OSError as problem:
        where = f"The log could not be written ({problem.strerror})."
    else:
        where = f"What happened is in {path}."
    return (
        "Steadfoot met a fault of its own and had to end. The record is whole: start it again and take the job up. "
        + where
    )
