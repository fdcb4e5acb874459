"""What reading takes, hands over as torn, and refuses. The other reader is the standard library's tomllib."""

import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from wizard.errors import JournalError
from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source
from wizard.journal.journal_reader import read
from wizard.journal.sealed_block import CHAIN, SEAL, START, seal

Put = Callable[[bytes], Path]


def test_a_journal_is_toml_for_any_reader(
    put: Put, blocks: list[bytes], events: list[dict[str, Any]]
) -> None:
    """The whole file is plain TOML, and both readers see the same events."""
    path = put(b"".join(blocks))
    reading = read(path)
    whole = tomllib.loads(path.read_text(encoding="utf-8"))["event"]
    assert [event.pop("seal")["chain"] for event in whole] == list(reading.chains)
    assert list(reading.events) == whole == events
    assert reading.torn == b"" and not reading.lacks_newline and reading.stop == path.stat().st_size
    assert reading.last_chain == reading.chains[-1]


def test_an_empty_journal_has_no_events(put: Put) -> None:
    """A session killed before its first event can be read."""
    reading = read(put(b""))
    assert reading.events == () and reading.torn == b"" and reading.last_chain == START


def test_every_truncation_is_torn_or_whole(
    put: Put, blocks: list[bytes], events: list[dict[str, Any]]
) -> None:
    """Cut anywhere, whole blocks are read and every other byte is handed over; none is lost."""
    data = b"".join(blocks)
    ends = [sum(map(len, blocks[:count])) for count in range(len(blocks) + 1)]
    for cut in range(len(data)):
        reading = read(put(data[:cut]))
        whole = sum(end <= cut + 1 for end in ends[1:])
        assert list(reading.events) == events[:whole], cut
        assert reading.lacks_newline == (cut + 1 in ends[1:])
        assert reading.torn == (b"" if reading.lacks_newline else data[ends[whole] : cut])
        assert data[: reading.stop] + reading.torn == data[:cut]


@pytest.mark.parametrize("bit", [0, 3, 5, 7])
def test_no_flipped_bit_is_taken(
    put: Put, blocks: list[bytes], events: list[dict[str, Any]], bit: int
) -> None:
    """A flipped bit before the last block is refused with its place; the last block becomes torn."""
    data = b"".join(blocks[:3])
    starts = [0, len(blocks[0]), len(blocks[0] + blocks[1])]
    for at in range(len(data)):
        path = put(data[:at] + bytes([data[at] ^ 1 << bit]) + data[at + 1 :])
        number = sum(start <= at for start in starts)
        if number < 3:
            line = data.count(b"\n", 0, starts[number - 1]) + 1
            with pytest.raises(JournalError, match=rf"{re.escape(str(path))}:{line} block {number}: "):
                read(path)
        else:
            reading = read(path)
            assert list(reading.events) == events[:2] and len(reading.torn) == len(blocks[2]), at


@pytest.mark.parametrize(
    ("order", "number"),
    [((0, 1, 3, 4), 3), ((1, 2, 3), 1), ((0, 2, 1, 3, 4), 2), ((0, 1, 1, 2, 3), 3), ((0, 1, 2, 0, 3), 4)],
)
def test_blocks_out_of_place_are_refused(
    put: Put, blocks: list[bytes], order: tuple[int], number: int
) -> None:
    """Dropped, swapped and repeated blocks stop the reading at the first that doesn't follow."""
    with pytest.raises(JournalError, match=f"block {number}: its seal does not fit"):
        read(put(b"".join(blocks[index] for index in order)))


def test_crlf_is_named(put: Put, blocks: list[bytes]) -> None:
    """A file that a transfer changed to CRLF is refused with the way to mend it, and that way works."""
    path = put(b"".join(blocks).replace(b"\n", b"\r\n"))
    with pytest.raises(JournalError, match=r"CRLF.*back to LF"):
        read(path)
    assert len(read(put(path.read_bytes().replace(b"\r\n", b"\n"))).events) == len(blocks)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_a_byte_order_mark_is_named(put: Put, blocks: list[bytes], encoding: str) -> None:
    """An editor's byte-order mark or UTF-16 is refused with the way to mend it."""
    with pytest.raises(JournalError, match="byte-order mark"):
        read(put(b"".join(blocks).decode("utf-8").encode(encoding)))


@pytest.mark.parametrize("data", [b"Dear diary\n", b"event = 1\n", b"\xff\xd8\xff\xe0", b"[event]\na = 1\n"])
def test_another_file_is_not_a_torn_journal(put: Put, data: bytes) -> None:
    """A file that never was a journal is not set aside as one."""
    with pytest.raises(JournalError, match="no journal"):
        read(put(data))


@pytest.mark.parametrize("data", [b"\0" * 300, b"[[ev", b"[[event]]\nsequence = ", b"[[event]]\na = '\xff"])
def test_a_torn_first_write_is_torn(put: Put, data: bytes) -> None:
    """Zeros left by a power cut, or the start of a block, in a journal that has nothing else."""
    reading = read(put(data))
    assert reading.events == () and reading.torn == data


@pytest.mark.parametrize("body", [b"[[event]]\na = \n", b"[[event]]\na = '\xff'\n", b"[[event]]\n[other]\n"])
def test_a_sealed_block_that_is_no_event_is_refused(put: Put, blocks: list[bytes], body: bytes) -> None:
    """A seal that holds over something that is not TOML, not UTF-8, or not one event."""
    before = read(put(b"".join(blocks[:2]))).last_chain
    chain = seal(before, body + SEAL).encode("ascii")
    data = b"".join(blocks[:2]) + body + SEAL + CHAIN + chain + b'"\n'
    with pytest.raises(JournalError, match="block 3: its seal holds, but"):
        read(put(data))


def test_a_missing_journal_is_said(tmp_path: Path) -> None:
    """No file: a JournalError with the path."""
    with pytest.raises(JournalError, match="no such file"):
        read(tmp_path / "nowhere" / "journal.toml")


def test_a_folder_is_not_a_journal(tmp_path: Path) -> None:
    """A folder where the file should be."""
    with pytest.raises(JournalError, match="folder"):
        read(tmp_path)


def test_no_permission_is_said(put: Put, blocks: list[bytes], monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of another user's."""
    path = put(b"".join(blocks))

    def refuse(self: Path, _mode: str) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(JournalError, match=r"Permission denied.*permissions"):
        read(path)


def test_more_events_than_a_session_has_are_refused(
    put: Put, blocks: list[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each is small, and all of them are more than anybody answers."""
    path = put(b"".join(blocks))
    monkeypatch.setitem(SOURCE_LIMITS, Source.JOURNAL, Limits(1_000_000, values=len(blocks)))
    assert len(read(path).events) == len(blocks)
    monkeypatch.setitem(SOURCE_LIMITS, Source.JOURNAL, Limits(1_000_000, values=len(blocks) - 1))
    with pytest.raises(JournalError, match="which no session has"):
        read(path)
    monkeypatch.setitem(SOURCE_LIMITS, Source.JOURNAL, Limits(100))
    with pytest.raises(JournalError, match="too large for a journal"):
        read(path)
