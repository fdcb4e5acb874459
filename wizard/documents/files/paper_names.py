"""What the papers of a visit are called."""

from __future__ import annotations

import re
from enum import StrEnum


class PaperKind(StrEnum):
    """A paper, by the stem of its file's name."""

    HANDOVER = "HANDOVER"
    PARTS = "PARTS"
    RECORD = "RECORD"


PAPER = re.compile(r"[A-Z][A-Z0-9-]{0,60}\.md")
"""A name that a paper may have: HANDOVER.md, PARTS-2.md."""

_HANDOVER = re.compile(rf"{PaperKind.HANDOVER}(-\d+)?\.md")


def name_for(kind: PaperKind, visit: int, suffix: str = ".md") -> str:
    """The file's name: HANDOVER.md, and HANDOVER-2.md on the second visit, so that none is written over."""
    return f"{kind}{suffix}" if visit <= 1 else f"{kind}-{visit}{suffix}"


def is_handover(name: str) -> bool:
    """True for the customer's paper of any visit: the one that bears a seal."""
    return _HANDOVER.fullmatch(name) is not None
