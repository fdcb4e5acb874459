"""A defect of the program, kept for whoever fixes it; the technician gets one plain line."""

from __future__ import annotations

import traceback
from pathlib import Path

from wizard.journal.durable_io import make_folder, private

NAME = "trouble.log"


ENDED = (
    "Steadfoot met a fault of its own and had to end. What was recorded before it is kept as it was "
    "written: start it again; a job is taken up where it stood."
)
WENT_ON = (
    "That did not work: Steadfoot met a fault of its own ({kind}). What was recorded before it is kept, and the job "
    "goes on."
)


def keep(root: Path, error: BaseException) -> str:
    """Write the traceback to HOME/trouble.log and return what to tell the person."""
    return keep_text(root, _whole(error))


def logged(root: Path, error: BaseException, says: str) -> str:
    """Write the traceback to HOME/trouble.log and return these words on it, and where it is."""
    return keep_text(root, _whole(error), says)


def survived(root: Path, error: BaseException) -> str:
    """Write the traceback to HOME/trouble.log and return what to tell the person where work goes on."""
    return logged(root, error, WENT_ON.format(kind=type(error).__name__))


def _whole(error: BaseException) -> str:
    return "".join(traceback.format_exception(error))


def keep_text(root: Path, text: str, says: str = ENDED) -> str:
    """Write a text on the defect to HOME/trouble.log and return what to tell the person, and where it is."""
    path = root / NAME
    try:
        make_folder(root)
        with open(path, "a", encoding="utf-8", errors="replace", opener=private) as log:
            log.write(f"{text}\n")
    except OSError as problem:
        where = f"The log could not be written ({problem.strerror})."
    else:
        where = f"What happened is in {path}."
    return f"{says} {where}"
