"""The seal on the customer's paper: its last line, which is no part of what the journal holds the paper to.

The journal keeps the SHA-256 of the paper, and the paper the chain value of the journal's closing event; neither can
be made before the other. So the paper's digest is that of all but its last line, and that line is written when the
visit is closed.
"""

from __future__ import annotations

import re
from hashlib import sha256

from wizard.journal.block import grouped

LINE = "- Seal of the record: "
"""How the last line of the paper begins."""

BLANK = "____ ____ ____ ____"
"""What stands for the seal while the visit is not closed: room to write it by hand."""

_SEALED = re.compile(rb"^" + re.escape(LINE.encode()) + rb"`([0-9a-f_ ]{19})`[^\n]*\n\Z", re.MULTILINE)


def seal_line(chain: str) -> str:
    """The last line of a paper; ``chain`` is the closing event's chain value, empty before there is one."""
    if chain:
        return f"{LINE}`{grouped(chain)}`"
    return f"{LINE}`{BLANK}` (shown when the visit is closed: write it here)"


def body(paper: bytes) -> bytes:
    """All of a paper but its seal line; all of it where its last line is none."""
    found = _SEALED.search(paper)
    return paper[: found.start()] if found else paper


def digest(paper: bytes) -> str:
    """The SHA-256, in hex, that the journal keeps of a paper."""
    return sha256(body(paper)).hexdigest()


def seal_of(paper: bytes) -> str:
    """The 16 digits of the seal on a paper; empty where none was written."""
    found = _SEALED.search(paper)
    digits = found[1].decode().replace(" ", "") if found else ""
    return "" if "_" in digits else digits


def sealed(paper: bytes, chain: str) -> bytes:
    """The paper with its seal written in. ValueError if it has no line for it."""
    found = _SEALED.search(paper)
    if found is None:
        raise ValueError("paper: its last line has no room for a seal")
    return paper[: found.start()] + seal_line(chain).encode() + b"\n"
