"""Names of files that are the same file on every system, or refused on every system: one rule wherever they come in."""

from __future__ import annotations

import re
from pathlib import PurePosixPath

LONGEST_PART = 255
"""The most bytes (UTF-8) of a file's or folder's name: what the common file systems take."""

LONGEST_NAME = 400
"""The most characters of a name with its folders, seen from the folder that it is kept in."""

_FORBIDDEN = re.compile(r'[\\:*?"<>|\x00-\x1f\x7f]')
# Microsoft, 'Naming Files, Paths, and Namespaces': reserved with any ending too, superscript digits like digits.
_DEVICE = re.compile(r"(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9\u00b9\u00b2\u00b3])", re.IGNORECASE)


def misnamed(name: str) -> str:
    """Why a name with forward slashes can't be that of a file below a folder on every system; empty where it can.

    A sentence's end: 'Windows keeps "con" for a device'.
    """
    if name != PurePosixPath(name).as_posix() or name.startswith("/"):
        return "a part of it is empty, or a dot"
    if len(name) > LONGEST_NAME:
        return f"it has over {LONGEST_NAME} characters"
    return next(filter(None, map(_misnamed, name.split("/"))), "")


def _misnamed(part: str) -> str:
    if part in ("", ".", ".."):
        return "a part of it is empty, or dots"
    if _FORBIDDEN.search(part):
        return 'Windows allows no \\ : * ? " < > | and no control character in it'
    if part[-1] in ". ":
        return "Windows drops a dot or a space at its end"
    if _DEVICE.fullmatch(part.split(".", 1)[0].rstrip(" ")):
        return f'Windows keeps "{part}" for a device'
    try:
        return f"it has over {LONGEST_PART} bytes" if len(part.encode("utf-8")) > LONGEST_PART else ""
    except UnicodeEncodeError:
        return "it is no text in UTF-8"
