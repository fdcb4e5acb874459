"""How a signature stands: by which key, whether this shop knows it, and whether it holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum, unique
from pathlib import Path

from wizard.errors import JournalError
from wizard.foreign.harmless import harmless
from wizard.journal.sealed_block import grouped
from wizard.trust.ed25519 import KeyCheck, check
from wizard.trust.seal_signature import SealSignature, load_signatures
from wizard.trust.trusted_keys import Trusted


@unique
class SignatureStanding(StrEnum):
    """Signed by a key that this shop knows, or doesn't; wrong; signed, but it can't be checked here; not signed."""

    KNOWN = "known"
    UNKNOWN = "unknown"
    WRONG = "wrong"
    UNCHECKED = "unchecked"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class SignatureFound:
    """How one signature stands. ``key``: its 64 hex digits; ``name``: the shop's name of it; ``why``: what is wrong."""

    standing: SignatureStanding = SignatureStanding.NONE
    key: str = ""
    name: str = ""
    why: str = ""

    @property
    def wrong(self) -> bool:
        """True where it is no signature of what it stands beside."""
        return self.standing is SignatureStanding.WRONG

    @property
    def words(self) -> str:
        """'signed by key 0123 4567 89ab cdef, known to this shop as Van 3'; nothing of when, which nobody can show."""
        by = f"signed by key {grouped(self.key)}" if self.key else "signed"
        match self.standing:
            case SignatureStanding.KNOWN:
                return f"{by}, known to this shop as {harmless(self.name)}"
            case SignatureStanding.UNKNOWN:
                return f"{by}, which is not known to this shop"
            case SignatureStanding.WRONG:
                return f"the signature is wrong: {self.why}"
            case SignatureStanding.UNCHECKED:
                return f"{by}, which can't be checked here"
            case _:
                return f"no signature{f': {self.why}' if self.why else ''}"


def found_of(key: str, signature: str, message: bytes, trusted: Trusted) -> SignatureFound:
    """How a signature over these bytes stands; that of no key and no digits is none."""
    if not key and not signature:
        return SignatureFound()
    match check(key, signature, message):
        case KeyCheck.WRONG:
            why = "it is not that of this key over what stands here; one of them was altered"
            return SignatureFound(SignatureStanding.WRONG, key, why=why)
        case KeyCheck.UNCHECKED:
            return SignatureFound(SignatureStanding.UNCHECKED, key)
        case _:
            name = trusted.keys.get(key, "")
            return SignatureFound(SignatureStanding.KNOWN if name else SignatureStanding.UNKNOWN, key, name)


def seal_found(
    folder: Path, session: str, chains: Sequence[str], closing: str, trusted: Trusted
) -> SignatureFound:
    """How the signature of a session's closing seal stands. Every signature there must hold: the worst is what is
    returned, else that of the last closing seal.

    ``session``: the id in the journal; ``chains``: the chain values of its blocks; ``closing``: that of the event that
    closed it last, empty where none did.
    """
    try:
        some = load_signatures(folder)
    except JournalError as problem:
        return SignatureFound(SignatureStanding.WRONG, why=str(problem))
    for one in some:
        found = _one(one, session, chains, trusted)
        if found.wrong:
            return found
    mine = [one for one in some if one.chain == closing and closing]
    if mine:
        each = [_one(one, session, chains, trusted) for one in mine]
        return min(each, key=lambda found: list(SignatureStanding).index(found.standing))
    if not closing:
        return SignatureFound(why="the job was never closed")
    return SignatureFound(why="the last closing is not signed, an earlier one is" if some else "")


def _one(one: SealSignature, session: str, chains: Sequence[str], trusted: Trusted) -> SignatureFound:
    if not one.signature:
        return SignatureFound(SignatureStanding.WRONG, one.key, why="a seal stands in its file without one")
    found = found_of(one.key, one.signature, one.message, trusted)
    if found.wrong:
        return found
    if one.session != session:
        return SignatureFound(SignatureStanding.WRONG, one.key, why=f"it is that of session {one.session}")
    if list(chains[one.events - 1 : one.events]) != [one.chain]:
        why = (
            f"the seal that it is of, {grouped(one.chain)}, is not that of event {one.events}: what was signed is not "
            "what stands here"
        )
        return SignatureFound(SignatureStanding.WRONG, one.key, why=why)
    return found
