"""The seal on the customer's paper: its last line, which is no part of what the journal holds the paper to.

The journal keeps the SHA-256 of the paper, and the paper the chain value of the journal's closing event; neither can
be made before the other. So the paper's digest is that of all but its last line, and that line is written when the
visit is closed. Nothing is read out of the line: it is compared with the lines that the writer makes.
"""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256

from wizard.documents.document_tree import SealLine
from wizard.documents.writers.writer import Writer
from wizard.journal.sealed_block import grouped


def seal_of(chain: str) -> SealLine:
    """The seal that an event's chain value (64 hex digits) makes; an empty one of an empty value."""
    return SealLine(grouped(chain) if chain else "")


def split(paper: bytes) -> tuple[bytes, bytes]:
    """All lines but the last, and the last; a line break at the end belongs to the last line."""
    start = paper.rfind(b"\n", 0, max(0, len(paper) - 1)) + 1
    return paper[:start], paper[start:]


def digest(paper: bytes) -> str:
    """The SHA-256, in hex, that the journal keeps of a sealed paper: that of all lines but the last."""
    return sha256(split(paper)[0]).hexdigest()


def unsealed(paper: bytes, writer: Writer) -> bool:
    """True while the last line is the one with room for a seal."""
    return split(paper)[1] == writer.seal_line(SealLine())


def bears(paper: bytes, chains: Iterable[str], writer: Writer) -> bool:
    """True when the last line is the seal of one of these chain values."""
    last = split(paper)[1]
    return any(writer.seal_line(seal_of(chain)) == last for chain in chains if chain)


def sealed(paper: bytes, chain: str, writer: Writer) -> bytes:
    """The paper with its seal written in. ValueError naming ``paper`` if its last line has no room for one."""
    if not unsealed(paper, writer):
        raise ValueError("paper: its last line has no room for a seal")
    return split(paper)[0] + writer.seal_line(seal_of(chain))
