"""A small journal of our own invention, as events and as the bytes that a writer made of them."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from wizard.journal.sealed_block import START, encode

EVENTS: list[dict[str, Any]] = [
    {"sequence": 1, "kind": "opened", "format": 1, "flow": {"id": "washer-shake", "digest": "ab" * 32}},
    {"sequence": 2, "kind": "answered", "step": "feet.rock", "answer": "rocks", "since": 12.25},
    {"sequence": 3, "kind": "noted", "says": 'He said: "it walks"\nand\t[[event]]\n[event.seal]'},
    {
        "sequence": 4,
        "kind": "measured",
        "readings": [{"value": 61.5, "unit": "N", "place": {"item": "left", "way": "out"}}] * 3,
        "limit": [],
        "extra": {},
    },
    {"sequence": 5, "kind": "closed", "debts": ["re-level", "close-front"]},
]


def blocks_of(events: list[dict[str, Any]], start: str = START) -> list[bytes]:
    """The blocks of a journal, one an event."""
    blocks, chain = [], start
    for event in events:
        block, chain = encode(event, chain)
        blocks.append(block)
    return blocks


@pytest.fixture
def events() -> list[dict[str, Any]]:
    """Five events of a job."""
    return [dict(event) for event in EVENTS]


@pytest.fixture
def blocks() -> list[bytes]:
    """Their blocks."""
    return blocks_of(EVENTS)


@pytest.fixture
def make_blocks() -> Callable[[list[dict[str, Any]]], list[bytes]]:
    """Blocks of any events."""
    return blocks_of


@pytest.fixture
def put(tmp_path: Path) -> Callable[[bytes], Path]:
    """Writes bytes as a journal in a folder of its own and gives the journal's path."""

    def write(data: bytes) -> Path:
        folder = tmp_path / "session"
        folder.mkdir(exist_ok=True)
        path = folder / "journal.toml"
        path.write_bytes(data)
        return path

    return write
