"""Verify a journal block by block, going on after damage, and against the value printed at the handover."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum, unique
from pathlib import Path

from wizard.errors import UsageError
from wizard.journal.codec import COUNTER
from wizard.journal.durable_io import load
from wizard.journal.journal_reader import JournalContents, line_of, transfer_damage
from wizard.journal.sealed_block import START, grouped
from wizard.journal.splitter import cut
from wizard.journal.tamper_check import TamperCheck, Tampering, TamperKind

_PRINTED = re.compile(r"[0-9a-f]{16,64}")


@unique
class PrintedPlace(StrEnum):
    """Where in a journal a printed chain value was found: in the last block, in an earlier one, or nowhere."""

    LAST = "last"
    EARLIER = "earlier"
    ABSENT = "absent"


@dataclass(frozen=True, slots=True)
class Verification:
    """What a check of a journal found.

    ``blocks`` counts the blocks found, damaged ones too. ``last_chain`` is the chain value of the last block
    whose seal holds. ``printed``: where the printed value was found, or None
    if none was given; ``after`` counts the blocks that follow it. ``notes`` say what is no fault. ``chains`` are the
    chain values that the blocks bear, in their order.
    """

    path: Path
    blocks: int
    last_chain: str
    problems: tuple[Tampering, ...]
    printed: PrintedPlace | None = None
    after: int = 0
    notes: tuple[str, ...] = ()
    chains: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether nothing is wrong as far as the chain, and the printed value if given, can tell."""
        return not self.problems


def verify(path: Path, printed: str | None = None, read: JournalContents | None = None) -> Verification:
    """Check every block of a journal; nothing is altered.

    ``printed`` is the chain value from the report, whole or its first 16 digits, in any case and spacing.
    Only with it are whole blocks cut off the end seen. ``read``: what was read of it already, each seal of which
    held; where that is all there is, nothing is gone through again. JournalError if the file can't be read;
    UsageError if ``printed`` is not such a value.
    """
    if read is not None and read.plain and printed is None:
        return Verification(path, len(read.chains), read.last_chain, (), chains=read.chains)
    wanted = None if printed is None else _printed(printed)
    data, problems = _restored(load(path))
    pieces = cut(data)
    links = TamperCheck(pieces, COUNTER)
    problems += [links.problems[index] for index in sorted(links.problems)]
    sealed = [piece for index, piece in enumerate(pieces) if piece.chain and _sound(links, index)]
    last_chain = (sealed[-1].chain if sealed else None) or START
    count = sum(not piece.stray for piece in pieces)
    chains = tuple(piece.chain for piece in pieces if piece.chain)
    if not data:
        problems.append(Tampering(TamperKind.EMPTY, 1, 1, "The journal holds nothing."))
    if wanted is None:
        return Verification(path, count, last_chain, tuple(problems), chains=chains)
    where, after, notes = _anchor(chains, wanted)
    if where is PrintedPlace.ABSENT:
        problems.append(
            Tampering(
                TamperKind.CUT_OFF, len(pieces) + 1, line_of(data, len(data)), _absent(wanted, last_chain)
            )
        )
    return Verification(path, count, last_chain, tuple(problems), where, after, notes, chains)


def _printed(value: str) -> str:
    """The digits of a printed chain value. UsageError if they are none."""
    digits = "".join(value.split()).lower()
    if not _PRINTED.fullmatch(digits):
        raise UsageError(
            f"{value!r} is no printed chain value. Give its 16 digits (0-9, a-f) as the report has them, "
            "such as 'abcd ef01 2345 6789'."
        )
    return digits


def _restored(data: bytes) -> tuple[bytes, list[Tampering]]:
    """The bytes with CRLF and a byte-order mark taken back, to check the rest, and a note of it."""
    what = transfer_damage(data)
    if what is None:
        return data, []
    text = f"The whole file was changed: {what}. The rest was checked as if that were done."
    return data.removeprefix(b"\xef\xbb\xbf").replace(b"\r\n", b"\n"), [
        Tampering(TamperKind.CONVERTED, 1, 1, text)
    ]


def _sound(links: TamperCheck, index: int) -> bool:
    """Whether a piece's seal holds where it stands."""
    return index not in links.problems or links.problems[index].kind is TamperKind.TORN


def _anchor(chains: tuple[str, ...], wanted: str) -> tuple[PrintedPlace, int, tuple[str, ...]]:
    """Where the printed value stands: the place, the number of blocks after it, and what to say."""
    found = [index for index, chain in enumerate(chains) if chain.startswith(wanted)]
    if not found:
        return PrintedPlace.ABSENT, 0, ()
    after = len(chains) - 1 - found[-1]
    if not after:
        return PrintedPlace.LAST, 0, ("The printed value is that of the last block.",)
    added = "1 block was" if after == 1 else f"{after} blocks were"
    return PrintedPlace.EARLIER, after, (f"The printed value is there; {added} added after it.",)


def _absent(wanted: str, last_chain: str) -> str:
    """The text for a printed value that no block has."""
    return (
        f"The printed value {grouped(wanted)} is in no block; the last is {grouped(last_chain)}. "
        "Blocks were cut off the end, or the journal was rewritten, or this is another session's."
    )


__all__ = ["Tampering", "Verification", "grouped", "verify"]
