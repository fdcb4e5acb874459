"""One event as one sealed block of TOML, and back.

A block is what ``tomli_w`` makes of ``{"event": event}`` with its first line made ``[[event]]``, and then a
last table ``[event.seal]`` with the chain value: the SHA-256, in hex, of the previous chain value in ASCII
(64 zeros before the first block) and all of the block's bytes before the chain line. Only LF ends a line, and
no text runs over lines, so a line ``[[event]]`` can only be the start of a block.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from typing import Any

import tomli_w

from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.foreign.toml_reader import parse_toml

START = "0" * 64
"""The chain value before the first block."""

HEADER = b"[[event]]\n"
SEAL = b"\n[event.seal]\n"
CHAIN = b'chain = "'
CLOSE = b'"\n'

STARTS = re.compile(rb"^\[\[event\]\]$", re.MULTILINE)
"""Where a block may start in a journal's bytes."""

ENDS = re.compile(rb'\n\[event\.seal\]\nchain = "[0-9a-f]{64}"\n')
"""Where one may end."""

_DIGITS = re.compile(r"[0-9a-f]{64}")
_ENDING = SEAL + CHAIN + b"0" * 64 + CLOSE
_HEX = b"0123456789abcdef"
_ALTERED = 3
_SEALED = len(CHAIN) + 64 + len(CLOSE)
_SURROGATE = re.compile("[\ud800-\udfff]")
_DEEPEST = 32
_LARGEST = 2**63
_MOST = SOURCE_LIMITS[Source.EVENT].size


def seal(previous: str, body: bytes) -> str:
    """The chain value of a block: ``body`` is all of its bytes before the chain line."""
    digest = hashlib.sha256(previous.encode("ascii"))
    digest.update(body)
    return digest.hexdigest()


def ends_whole(raw: bytes) -> bool:
    """Whether bytes end as a block does, but for a few that may have been altered: no write that was cut off does."""
    tail = raw[-len(_ENDING) :]
    if len(tail) < len(_ENDING):
        return False
    odd = sum(
        have not in _HEX if want == _HEX[0] else have != want
        for have, want in zip(tail, _ENDING, strict=True)
    )
    return odd <= _ALTERED


def encode(event: Mapping[str, Any], previous: str = START) -> tuple[bytes, str]:
    """The block of an event and its chain value.

    Lone surrogates become U+FFFD, tuples become lists, and plain values move before tables, where TOML wants
    them. TypeError names the key of a value that TOML has no word for (None too); ValueError that of a number
    beyond 64 bits, of nesting beyond 32, of the reserved top key ``seal``, or of a block larger than is read again.
    """
    if not _DIGITS.fullmatch(previous):
        raise ValueError(f"previous must be a chain value of 64 hex digits, not {previous!r}")
    table = _table(event, "event", 0)
    if "seal" in table:
        raise ValueError("event.seal: the key 'seal' is kept for the chain; name it otherwise")
    text = tomli_w.dumps({"event": table})
    # An event of tables only gets no header of its own from tomli_w: the first would be [event.<key>].
    text = "[[event]]\n" + (text.removeprefix("[event]\n") if text.startswith("[event]\n") else f"\n{text}")
    body = text.encode("utf-8") + SEAL
    if len(body) > _MOST - _SEALED:
        raise ValueError(f"event: its block has {len(body)} bytes; over {_MOST} none is read again")
    chain = seal(previous, body)
    return body + CHAIN + chain.encode("ascii") + CLOSE, chain


def decode(block: bytes) -> dict[str, Any]:
    """The event of a block, its seal taken off and not looked at. ValueError says why it is not one event."""
    if len(block) > _MOST:
        raise Unreadable(f"it has over {_MOST} bytes")
    data = parse_toml(block.decode("utf-8"), Source.EVENT)
    events = data.get("event")
    if len(data) != 1 or not isinstance(events, list) or len(events) != 1 or not isinstance(events[0], dict):
        raise ValueError("it is TOML, but not one [[event]]")
    event: dict[str, Any] = events[0]
    found = event.pop("seal", None)
    if not isinstance(found, dict) or list(found) != ["chain"]:
        raise ValueError("its [event.seal] holds more than a chain")
    return event


def grouped(chain: str) -> str:
    """The first 16 digits of a chain value in groups of four, as printed at the handover."""
    return " ".join(chain[at : at + 4] for at in range(0, 16, 4))


def _table(value: Mapping[Any, Any], path: str, depth: int) -> dict[str, Any]:
    """A mapping with every value made plain."""
    clean: dict[str, Any] = {}
    for key, item in value.items():
        if not isinstance(key, str):
            raise TypeError(f"{path}: a key must be text, not {type(key).__name__} ({key!r})")
        name = _SURROGATE.sub("\ufffd", key)
        if name in clean:
            raise ValueError(f"{path}: two keys both become {name!r} when written")
        clean[name] = _plain(item, f"{path}.{name}", depth + 1)
    return clean


def _plain(value: object, path: str, depth: int) -> Any:
    """A value as TOML can hold it, or TypeError or ValueError with its place."""
    if depth > _DEEPEST:
        raise ValueError(f"{path}: nested more than {_DEEPEST} deep")
    if isinstance(value, str):
        return _SURROGATE.sub("\ufffd", value)
    if isinstance(value, bool):
        return value
    if isinstance(value, int):
        if not -_LARGEST <= value < _LARGEST:
            raise ValueError(f"{path}: a whole number in TOML has 64 bits; {value} has more")
        return int(value)
    if isinstance(value, float):
        return float(value)
    if isinstance(value, Mapping):
        return _table(value, path, depth)
    if isinstance(value, (list, tuple)):
        return [_plain(item, f"{path}[{index}]", depth + 1) for index, item in enumerate(value)]
    raise TypeError(
        f"{path}: {type(value).__name__} can't be written in a journal; leave the key out or use text"
    )
