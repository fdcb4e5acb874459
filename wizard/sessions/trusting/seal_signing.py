"""A closing seal signed as it is made, where this computer has a key. It never keeps a job from closing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from wizard.engine.session import Clock
from wizard.errors import SteadfootError, UsageError
from wizard.sessions.trusting.ledger_sessions import ClosingSeals
from wizard.trust.key_file import load_key, sign_by_home
from wizard.trust.seal_signature import SealSignature, add_signature, load_signatures


@dataclass(frozen=True, slots=True)
class SealSigner:
    """Signs by the key of a home."""

    root: Path
    clock: Clock

    def sign_again(self, folder: Path, found: ClosingSeals) -> bool:
        """Sign the last closing seal of a session that was closed before; False where this key signed it already.

        UsageError where it was never closed, or can't be signed; JournalError where the file there can't be read.
        """
        if not found.seals:
            raise UsageError(f"Session {found.name} was never closed: it has no closing seal.")
        events, chain = found.seals[-1]
        key = load_key(self.root)
        if key and any(s.chain == chain and s.key == key.public for s in load_signatures(folder)):
            return False
        if why := self.sign(folder, found.session, chain, events):
            raise UsageError(why)
        return True

    def sign(self, folder: Path, session: str, chain: str, events: int) -> str:
        """Sign the seal of a closing event and keep that beside the journal; gives what is to be said of it, which is
        nothing where there is no key here.
        """
        at = self.clock.wall().isoformat(timespec="seconds").replace("+00:00", "Z")
        bare = SealSignature(session, chain, events, at)
        signed = sign_by_home(self.root, bare.message)
        if not signed.signature:
            return f"The seal is not signed: {signed.why}" if signed.why else ""
        try:
            add_signature(folder, replace(bare, key=signed.key, signature=signed.signature))
        except SteadfootError as problem:
            return f"The seal is not signed: {problem}"
        return ""
