"""The key of this computer: one file in the home folder, for this user's eyes alone."""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass
from pathlib import Path

from wizard.errors import SteadfootError, UsageError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source, Unreadable
from wizard.journal.durable_io import lost, make_folder, write_new
from wizard.trust.ed25519 import SigningKey, key_of_pem, new_key

NAME = "signing-key.pem"
"""The file's name in the home folder."""


@dataclass(frozen=True, slots=True)
class Signed:
    """Bytes that were signed, or not. ``why``: why they could not be; empty too where there is no key here."""

    key: str = ""
    signature: str = ""
    why: str = ""


def create(root: Path) -> SigningKey:
    """Make the key of a home. UsageError where there is one already, or without the library; JournalLost if the disk
    refuses.
    """
    path = root / NAME
    try:
        key = new_key()
        pem = key.pem()
    except ValueError as problem:
        raise UsageError(f"No key can be made: {problem}. Install the extra 'sign' anew.") from problem
    try:
        make_folder(root)
        write_new(path, pem)
    except FileExistsError:
        raise UsageError(
            f"{path}: there is a key already, and what it signed needs it. Move the file away first to have another."
        ) from None
    except OSError as error:
        raise lost("keep the key in", path, error) from error
    return key


def load_key(root: Path) -> SigningKey | None:
    """The key of a home; None where there is none. UsageError where it can't be used, and why."""
    path = root / NAME
    try:
        data = read_file(path, Source.KEY)
        mode = path.stat().st_mode
    except FileNotFoundError:
        return None
    except (OSError, Unreadable) as problem:
        raise UsageError(f"{path}: the key can't be read ({problem}). Restore it from a copy.") from problem
    if os.name != "nt" and stat.S_IMODE(mode) & 0o077:
        raise UsageError(
            f"{path}: others may read it, so it is no secret. Remove that: chmod 600; or make another."
        )
    try:
        return key_of_pem(data)
    except ValueError as problem:
        raise UsageError(
            f"{path}: this holds no Ed25519 key ({problem}). Restore it from a copy, or move it away."
        ) from problem


def sign_by_home(root: Path, message: bytes) -> Signed:
    """Sign bytes by the key of a home, if it has one. Never raises: what is written goes without a signature then."""
    try:
        key = load_key(root)
        return Signed(key.public, key.sign(message)) if key is not None else Signed()
    except (SteadfootError, ValueError) as problem:
        return Signed(why=str(problem))
