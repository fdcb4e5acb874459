"""A closing seal signed as it is made, where this computer has a key. It never keeps a job from closing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.engine.messages.events import Began, Closed
from wizard.engine.session import Clock
from wizard.errors import SteadfootError, UsageError
from wizard.trust.key_file import load_key, sign_by_home
from wizard.trust.seal_signature import SealSignature, add_signature, load_signatures

if TYPE_CHECKING:
    from wizard.sessions.session_handle import Loaded


@dataclass(frozen=True, slots=True)
class SealSigner:
    """Signs by the key of a home."""

    root: Path
    clock: Clock

    def sign_again(self, folder: Path, loaded: Loaded) -> bool:
        """Sign the last closing seal of a session that was closed before; False where this key signed it already.

        UsageError where it was never closed, or can't be signed; JournalError where the file there can't be read.
        """
        closed = [record for record in loaded.records if isinstance(record.event, Closed)]
        began = loaded.records[0].event
        if not closed or not isinstance(began, Began):
            raise UsageError(f"Session {loaded.name} was never closed: it has no closing seal.")
        key = load_key(self.root)
        if key and any(s.chain == loaded.seal and s.key == key.public for s in load_signatures(folder)):
            return False
        if why := self.sign(folder, began.session, loaded.seal, closed[-1].seq):
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
