"""Signatures by Ed25519 (RFC 8032), made and checked by the library ``cryptography``: an extra, imported late.

A signature shows that whoever made it held the key and that no byte changed since. It doesn't show that what was signed
is true, nor when it was signed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import StrEnum, unique
from typing import TYPE_CHECKING

from wizard.errors import UsageError

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

NEEDED = "Signatures need the extra 'sign': pip install 'steadfoot[sign]'. Everything else works without it."

_PUBLIC, _SIGNATURE = re.compile(r"[0-9a-f]{64}"), re.compile(r"[0-9a-f]{128}")


@unique
class KeyCheck(StrEnum):
    """Of a signature: it holds; it is not one by this key over these bytes; or the library isn't there to check it."""

    HOLDS = "holds"
    WRONG = "wrong"
    UNCHECKED = "unchecked"


@dataclass(frozen=True, slots=True)
class SigningKey:
    """A private key that can sign. ``public``: 64 hex digits of its public half."""

    public: str
    _private: Ed25519PrivateKey = field(repr=False, compare=False)

    def sign(self, message: bytes) -> str:
        """The signature over these bytes, 128 hex digits: the same each time. ValueError where the library fails."""
        with _library():
            return self._private.sign(message).hex()

    def pem(self) -> bytes:
        """The private key as PKCS 8 in PEM, not encrypted: for its file alone. ValueError where the library fails."""
        with _library():
            from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

            return self._private.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


@contextmanager
def _library() -> Iterator[None]:
    """Whatever the library raises, of its own kinds too, is a ValueError: who signs or checks knows none of them. Its
    compiled half ends by what is no Exception at all where something in it is wrong.
    """
    try:
        yield
    except (KeyboardInterrupt, SystemExit, GeneratorExit, ValueError):
        raise
    except BaseException as error:
        said = str(error).split("\n", 1)[0][:100]
        raise ValueError(f"the library for signatures says {said or type(error).__name__}") from error


def available() -> bool:
    """Whether the library is there, and can be loaded."""
    try:
        with _library():
            import cryptography.hazmat.primitives.asymmetric.ed25519  # noqa: F401
    except ValueError:
        return False
    return True


def new_key() -> SigningKey:
    """A key drawn by chance. UsageError where the library isn't there; ValueError where it fails."""
    _need()
    with _library():
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        return _key(Ed25519PrivateKey.generate())


def key_of_seed(seed: bytes) -> SigningKey:
    """The key of 32 secret bytes (RFC 8032, 5.1.5). UsageError without the library, ValueError for another length."""
    _need()
    with _library():
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        return _key(Ed25519PrivateKey.from_private_bytes(seed))


def key_of_pem(data: bytes) -> SigningKey:
    """The key of a PEM. UsageError without the library; ValueError where it holds no such key."""
    _need()
    with _library():
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        found = load_pem_private_key(data, None)
        if not isinstance(found, Ed25519PrivateKey):
            raise ValueError("it is a key of another kind")
        return _key(found)


def check(public: str, signature: str, message: bytes) -> KeyCheck:
    """Whether a signature is that of a public key over these bytes; anything that is no key or signature is wrong."""
    if not (_PUBLIC.fullmatch(public) and _SIGNATURE.fullmatch(signature)):
        return KeyCheck.WRONG
    if not available():
        return KeyCheck.UNCHECKED
    try:
        with _library():
            return _checked(bytes.fromhex(public), bytes.fromhex(signature), message)
    except ValueError:  # The library itself can't say.
        return KeyCheck.UNCHECKED


def _checked(public: bytes, signature: bytes, message: bytes) -> KeyCheck:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except (InvalidSignature, ValueError):
        return KeyCheck.WRONG
    return KeyCheck.HOLDS


def is_public(text: str) -> bool:
    """Whether a text is the 64 hex digits of a public key."""
    return bool(_PUBLIC.fullmatch(text))


def _key(private: Ed25519PrivateKey) -> SigningKey:
    return SigningKey(private.public_key().public_bytes_raw().hex(), private)


def _need() -> None:
    if not available():
        raise UsageError(NEEDED)
