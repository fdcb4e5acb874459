"""A damaged journal is read up to the damage and past it: of one flipped bit no more is lost than its own block."""

from __future__ import annotations

import random
from itertools import accumulate

import pytest

from wizard.journal.journal_salvage import salvaged
from wizard.journal.sealed_block import START, encode

SEED = 20260302


def journal(count: int = 8) -> tuple[bytes, list[int]]:
    """A journal of events of several shapes, and where each block begins."""
    blocks, previous = [], START
    for number in range(1, count + 1):
        event = {
            "sequence": number,
            "kind": "note",
            "text": f"it isn't [[event]], says {number}: é",
            "belief": {"supply": ["held", "cut"]},
            "asked": {"kind": "answer", "chosen": ["yes"], "chain": "0" * number},
        }
        block, previous = encode(event, previous)
        blocks.append(block)
    return b"".join(blocks), [0, *accumulate(len(block) for block in blocks)]


def numbers(data: bytes) -> list[int]:
    """The events read."""
    return [event["sequence"] for event in salvaged(data).events]


def flipped(data: bytes, bit: int) -> bytes:
    """The bytes with one bit turned."""
    made = bytearray(data)
    made[bit // 8] ^= 1 << bit % 8
    return bytes(made)


def check(bits: range | list[int]) -> None:
    """Each of these bits flipped: every other block is read, in order, and where the damage lies is said."""
    data, starts = journal()
    for bit in bits:
        block = max(n for n, start in enumerate(starts[:-1], 1) if start <= bit // 8)
        found = salvaged(flipped(data, bit))
        read = [event["sequence"] for event in found.events]
        assert read == sorted(read) and set(range(1, 9)) - {block} <= set(read), bit
        assert found.damage and len(found.chains) == len(read), bit
        line = data.count(b"\n", 0, bit // 8) + 1
        assert any(d.line <= line <= d.line + d.raw.count(b"\n") + 1 for d in found.damage), (
            bit,
            found.damage,
        )


def test_one_flipped_bit_costs_one_event_at_most() -> None:
    """A sample of all bits, drawn by a fixed seed."""
    data, _starts = journal()
    check(random.Random(SEED).sample(range(len(data) * 8), 1500))


@pytest.mark.nightly
def test_each_flipped_bit_costs_one_event_at_most() -> None:
    """Every bit."""
    data, _starts = journal()
    check(range(len(data) * 8))


def test_a_whole_journal_has_no_damage() -> None:
    """All is read, and nothing is said; so where only the last newline is missing, as after a cut-off write."""
    data, _starts = journal()
    assert numbers(data) == list(range(1, 9)) and salvaged(data).damage == ()
    assert numbers(data[:-1]) == list(range(1, 9)) and salvaged(data[:-1]).damage == ()


def test_an_altered_event_is_left_out_and_an_altered_seal_alone_is_not() -> None:
    """The event behind shows what the seal was: the event is read, and the seal is said to be altered."""
    data, starts = journal()
    body, seal = starts[3] + 40, starts[4] - 30
    found = salvaged(flipped(data, body * 8))
    assert [e["sequence"] for e in found.events] == [1, 2, 3, 5, 6, 7, 8]
    (part,) = found.damage
    assert part.after == 3 and len(part.raw) == starts[4] - starts[3]
    assert part.text == (
        f"Line {part.line}: {len(part.raw)} bytes fit no seal and are left out, behind the event read as number 3."
    )
    found = salvaged(flipped(data, seal * 8))
    assert [e["sequence"] for e in found.events] == list(range(1, 9))
    assert [part.event for part in found.damage] == [True] and "the seal of event 4" in found.damage[0].text


def test_a_sector_of_zeros_costs_what_lay_in_it() -> None:
    """A piece of a disk that reads as zeros, over the end of one block and the start of the next: what hangs on a seal
    that is gone can't be shown to be sealed, and is left out; what comes behind it is read.
    """
    data, starts = journal()
    hurt = data[: starts[3] - 60] + bytes(120) + data[starts[3] + 60 :]
    assert set(numbers(hurt)) >= {1, 2, 5, 6, 7, 8} and 3 not in numbers(hurt)
    assert salvaged(hurt).damage


def test_nothing_that_no_seal_holds_is_read() -> None:
    """A forged block, any bytes: none of them is an event. What hung on the block that is gone can't be shown to be
    sealed either; what hangs on that one can.
    """
    data, starts = journal()
    forged, _chain = encode({"sequence": 4, "kind": "note", "text": "forged"}, "f" * 64)
    assert numbers(data[: starts[3]] + forged + data[starts[4] :]) == [1, 2, 3, 6, 7, 8]
    assert (
        numbers(b"") == []
        and numbers(b"\0" * 500) == []
        and numbers(random.Random(SEED).randbytes(5000)) == []
    )


def test_a_torn_end_is_damage_like_any_other() -> None:
    """A write cut short is left out, and said with its bytes."""
    data, starts = journal()
    found = salvaged(data[:-20])
    assert [e["sequence"] for e in found.events] == list(range(1, 8))
    assert len(found.damage) == 1 and len(found.damage[0].raw) == len(data) - 20 - starts[7]
