"""Appending: durable before it returns, one writer, a disk that refuses, and what opening mends."""

import errno
import os
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from wizard.errors import JournalBusy, JournalChanged, JournalError, JournalFull, JournalLost
from wizard.journal import durable_io
from wizard.journal import journal_writer as writing
from wizard.journal.journal_reader import read
from wizard.journal.journal_writer import Journal, JournalRecovery
from wizard.screens.launch.opening import lost_words

Put = Callable[[bytes], Path]


def start(code: str, *arguments: str) -> "subprocess.Popen[str]":
    """A Python process of its own."""
    return subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code), *arguments], stdout=subprocess.PIPE, text=True
    )


def test_what_is_appended_is_on_the_disk_as_blocks(
    tmp_path: Path, events: list[Any], blocks: list[bytes]
) -> None:
    """Each append leaves exactly its block in the file when it returns, and gives the chain value."""
    with Journal.create(tmp_path / "new" / "session") as journal:
        for count, event in enumerate(events, 1):
            chain = journal.append(event)
            assert journal.path.read_bytes() == b"".join(blocks[:count])
            assert read(journal.path).last_chain == chain == journal.chain


def test_fsync_comes_after_the_write_and_before_the_return(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk is asked to hold the whole block in every append."""
    journal = Journal.create(tmp_path)
    sizes: list[int] = []
    real = durable_io.sync

    def watched(descriptor: int) -> None:
        sizes.append(os.fstat(descriptor).st_size)
        real(descriptor)

    monkeypatch.setattr(writing, "sync", watched)
    journal.append({"a": 1})
    assert sizes == [journal.path.stat().st_size]
    journal.append({"a": 2})
    assert sizes[1:] == [journal.path.stat().st_size]
    journal.close()


def test_work_goes_on_where_it_stopped(tmp_path: Path, events: list[Any], blocks: list[bytes]) -> None:
    """Opened again, a journal hands over its events and chains on."""
    with Journal.create(tmp_path) as journal:
        for event in events[:3]:
            journal.append(event)
    with Journal.open(tmp_path) as journal:
        assert list(journal.reading.events) == events[:3]
        assert journal.recovery == JournalRecovery() and journal.recovery.says == ()
        for event in events[3:]:
            journal.append(event)
    assert (tmp_path / "journal.toml").read_bytes() == b"".join(blocks)


def test_a_journal_is_not_started_twice(tmp_path: Path) -> None:
    """A second start in the same folder is refused, and the first stays as it is."""
    with Journal.create(tmp_path) as journal:
        journal.append({"a": 1})
    with pytest.raises(JournalError, match="there already"):
        Journal.create(tmp_path)
    with Journal.open(tmp_path) as journal:
        assert journal.reading.events == ({"a": 1},)


def test_no_journal_to_open(tmp_path: Path) -> None:
    """An empty folder has none, and opening leaves nothing in it."""
    with pytest.raises(JournalError, match="no such file"):
        Journal.open(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_one_writer_in_one_program(tmp_path: Path) -> None:
    """A second opening is told so; after closing it may."""
    with Journal.create(tmp_path) as journal:
        with pytest.raises(JournalBusy, match="another program"):
            Journal.open(tmp_path)
        with pytest.raises(JournalBusy):
            Journal.create(tmp_path)
        journal.append({"a": 1})
    Journal.open(tmp_path).close()


def test_one_writer_in_two_programs(tmp_path: Path) -> None:
    """Another process holds the journal until it ends."""
    code = """
        import sys, pathlib
        from wizard.journal.journal_writer import Journal
        journal = Journal.create(pathlib.Path(sys.argv[1]))
        print("held", flush=True)
        sys.stdin.read()
    """
    child = subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code), str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "held\n"
    with pytest.raises(JournalBusy):
        Journal.open(tmp_path)
    child.communicate("")
    Journal.open(tmp_path).close()


def test_a_killed_writer_loses_nothing_it_was_promised(tmp_path: Path) -> None:
    """Killed at any moment, every event whose append returned is there, and the lock is free."""
    code = """
        import sys, pathlib
        from wizard.journal.journal_writer import Journal
        journal = Journal.create(pathlib.Path(sys.argv[1]))
        number = 0
        while True:
            journal.append({"sequence": number, "text": "x" * 3000})
            print(number, flush=True)
            number += 1
    """
    for attempt in range(3):
        folder = tmp_path / str(attempt)
        child = start(code, str(folder))
        assert child.stdout is not None
        child.stdout.readline()
        time.sleep(0.03 * (attempt + 1))
        child.kill()
        promised = [int(line) for line in child.communicate()[0].splitlines() if line]
        with Journal.open(folder) as journal:
            kept = [event["sequence"] for event in journal.reading.events]
            journal.append({"sequence": len(kept), "text": "after"})
        assert kept == list(range(len(kept))) and len(kept) > max(promised, default=0)
        assert read(folder / "journal.toml").events[-1]["text"] == "after"


def test_a_torn_end_is_set_aside(put: Put, blocks: list[bytes], events: list[Any]) -> None:
    """Cut-off bytes go to a file of their own, are said, and work goes on after the last whole block."""
    path = put(b"".join(blocks[:2]) + blocks[2][:40])
    with Journal.open(path.parent) as journal:
        aside = path.parent / "torn-1.toml"
        assert journal.recovery == JournalRecovery(torn=aside, torn_bytes=40)
        assert aside.read_bytes() == blocks[2][:40]
        assert "40 bytes" in journal.recovery.says[0] and "torn-1.toml" in journal.recovery.says[0]
        for event in events[2:]:
            journal.append(event)
    assert path.read_bytes() == b"".join(blocks)
    path.write_bytes(b"".join(blocks) + b"\0\0")
    with Journal.open(path.parent) as journal:
        assert journal.recovery.torn == path.parent / "torn-2.toml"
    assert aside.read_bytes() == blocks[2][:40]


def test_every_truncation_opens_and_keeps_each_byte(
    put: Put, make_blocks: Callable[[list[Any]], list[bytes]], tmp_path: Path
) -> None:
    """Cut anywhere, the journal opens, whole blocks stay, and the other bytes are in a torn file."""
    blocks = make_blocks([{"a": 1}, {"b": {"c": "d"}}])
    data = b"".join(blocks)
    for cut in range(len(data) + 1):
        path = put(data[:cut])
        with Journal.open(path.parent) as journal:
            torn = b"" if journal.recovery.torn is None else journal.recovery.torn.read_bytes()
            added = b"\n" if journal.recovery.newline else b""
        assert path.read_bytes() + torn == data[:cut] + added
        assert read(path).torn == b"" and not read(path).lacks_newline


@pytest.mark.parametrize("harm", ["repeated", "altered"])
def test_a_strange_last_block_is_not_called_cut_off(put: Put, blocks: list[bytes], harm: str) -> None:
    """A whole block whose seal does not fit is set aside too, and said to be what it is."""
    last = blocks[-1] if harm == "repeated" else blocks[-1].replace(b"closed", b"clozed")
    kept = blocks if harm == "repeated" else blocks[:-1]
    path = put(b"".join([*kept, last]))
    with Journal.open(path.parent) as journal:
        assert journal.recovery.torn_bytes == len(last) and len(journal.reading.events) == len(kept)
        assert "altered, or is there twice" in journal.recovery.says[0]
        assert "cut off" not in journal.recovery.says[0]


def test_torn_bytes_are_kept_once(put: Put, blocks: list[bytes]) -> None:
    """A crash between setting aside and cutting off leaves the copy; the next opening uses it."""
    path = put(blocks[0] + b"[[eve")
    (path.parent / "torn-1.toml").write_bytes(b"[[eve")
    with Journal.open(path.parent) as journal:
        assert journal.recovery.torn == path.parent / "torn-1.toml"
    assert not (path.parent / "torn-2.toml").exists()


def test_a_missing_last_newline_is_mended(put: Put, blocks: list[bytes]) -> None:
    """A block that lacks only its last newline is whole, and it is said."""
    path = put(b"".join(blocks)[:-1])
    with Journal.open(path.parent) as journal:
        assert (
            journal.recovery == JournalRecovery(newline=True)
            and "nothing was lost" in journal.recovery.says[0]
        )
        assert len(journal.reading.events) == len(blocks)
    assert path.read_bytes() == b"".join(blocks)


def test_damage_before_the_end_is_left_as_it_is(put: Put, blocks: list[bytes]) -> None:
    """A journal altered in its middle is not opened for work, not cut, and not locked afterwards."""
    data = b"".join(blocks).replace(b'answer = "rocks"', b'answer = "still"')
    path = put(data)
    for _ in range(2):
        with pytest.raises(JournalError, match="block 2: its seal does not fit"):
            Journal.open(path.parent)
    assert path.read_bytes() == data and not list(path.parent.glob("torn-*"))


def test_an_event_that_cannot_be_written_stops_nothing(tmp_path: Path) -> None:
    """A wrong value is the caller's error: nothing is written and the journal goes on."""
    with Journal.create(tmp_path) as journal:
        journal.append({"a": 1})
        with pytest.raises(TypeError, match=r"event\.b"):
            journal.append({"b": None})
        journal.append({"c": 3})
    assert read(tmp_path / "journal.toml").events == ({"a": 1}, {"c": 3})


@pytest.mark.parametrize(
    ("code", "says"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EROFS, "read-only"),
        (errno.EIO, "the disk failed"),
        (errno.EACCES, "may not write"),
        (errno.ENXIO, os.strerror(errno.ENXIO)),
    ],
)
def test_a_failed_fsync_ends_the_writing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, says: str
) -> None:
    """The message says what, where and how to mend; nothing is tried again on that descriptor."""
    with Journal.create(tmp_path) as journal:
        journal.append({"a": 1})
        calls: list[int] = []

        def refuse(descriptor: int) -> None:
            calls.append(descriptor)
            raise OSError(code, os.strerror(code))

        monkeypatch.setattr(os, "fsync", refuse)
        with pytest.raises(JournalLost, match=says) as first:
            journal.append({"b": 2})
        assert str(journal.path) in str(first.value) and "open the session again" in str(first.value)
        monkeypatch.undo()
        with pytest.raises(JournalLost, match=says):
            journal.append({"c": 3})
        assert len(calls) == 1
    with Journal.open(tmp_path) as journal:
        assert journal.reading.events[0] == {"a": 1}
        journal.append({"d": 4})


def test_an_interrupted_write_ends_the_writing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl+C between write and fsync leaves a journal that must be opened again."""
    with Journal.create(tmp_path) as journal:

        def interrupt(descriptor: int) -> None:
            raise KeyboardInterrupt

        monkeypatch.setattr(writing, "sync", interrupt)
        with pytest.raises(KeyboardInterrupt):
            journal.append({"a": 1})
        monkeypatch.undo()
        with pytest.raises(JournalLost, match="broken off"):
            journal.append({"b": 2})


def half(descriptor: int, data: bytes) -> None:
    """A disk that fills up half way through a block."""
    os.write(descriptor, bytes(data)[:20])
    raise OSError(errno.ENOSPC, "No space left on device")


def test_a_full_disk_takes_nothing_and_the_journal_goes_on_when_there_is_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The half that it took is taken away again, each time; what is given once there is room follows what was there."""
    with Journal.create(tmp_path) as journal:
        journal.append({"a": 1})
        whole = journal.path.read_bytes()
        with monkeypatch.context() as full:
            full.setattr(writing, "write_all", half)
            for _ in range(3):
                with pytest.raises(JournalFull, match=r"The disk is full: .* nothing of it was written"):
                    journal.append({"b": 2})
                assert journal.path.read_bytes() == whole
        journal.append({"b": 2})
    with Journal.open(tmp_path) as journal:
        assert journal.recovery == JournalRecovery() and journal.reading.events == ({"a": 1}, {"b": 2})


def test_a_half_that_can_t_be_taken_away_is_torn_next_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Then nothing more is written: the half is set aside at the next opening."""
    with Journal.create(tmp_path) as journal:
        journal.append({"a": 1})
        whole = journal.path.read_bytes()

        def refuse(descriptor: int, size: int) -> None:
            raise OSError(errno.EIO, "Input/output error")

        with monkeypatch.context() as full:
            full.setattr(writing, "write_all", half)
            full.setattr(os, "ftruncate", refuse)
            with pytest.raises(JournalLost, match="the disk is full"):
                journal.append({"b": 2})
        with pytest.raises(JournalLost):
            journal.append({"b": 2})
    with Journal.open(tmp_path) as journal:
        assert journal.recovery.torn_bytes == 20 and journal.reading.events == ({"a": 1},)
    assert (tmp_path / "journal.toml").read_bytes() == whole


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no limit on the size of a file")
def test_a_real_refusal_of_the_system(tmp_path: Path) -> None:
    """The system's own limit stops a write in the middle of a block: JournalLost, and all before is kept."""
    code = """
        import sys, pathlib, resource
        from wizard.errors import JournalLost
        from wizard.journal.journal_writer import Journal
        journal = Journal.create(pathlib.Path(sys.argv[1]))
        journal.append({"sequence": 0})
        resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))
        for number in range(1, 50):
            try:
                journal.append({"sequence": number, "text": "x" * 300})
            except JournalLost as error:
                print(number, error)
                break
    """
    out = start(code, str(tmp_path)).communicate()[0]
    assert "larger than is allowed" in out
    with Journal.open(tmp_path) as journal:
        assert len(journal.reading.events) == int(out.split()[0]) and journal.recovery.torn is not None


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs the device that is always full")
def test_a_full_device_is_said(tmp_path: Path) -> None:
    """The kernel's own ENOSPC, through the journal's descriptor."""
    with Journal.create(tmp_path) as journal:
        full = os.open("/dev/full", os.O_WRONLY)
        with pytest.raises(OSError) as refusal:
            durable_io.write_all(full, b"x")
        os.close(full)
        said = str(durable_io.lost("write", journal.path, refusal.value))
    assert said.startswith(f"Could not write {journal.path}: the disk is full. Free some space")


def test_setting_aside_on_a_full_disk_alters_nothing(
    put: Put, blocks: list[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """If the torn bytes can't be kept, they stay where they are."""
    data = blocks[0] + blocks[1][:30]
    path = put(data)

    def refuse(descriptor: int, data: bytes) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(durable_io, "write_all", refuse)
    with pytest.raises(JournalLost, match=r"open the journal .* the disk is full"):
        Journal.open(path.parent)
    monkeypatch.undo()
    assert path.read_bytes() == data and not list(path.parent.glob("torn-*"))
    Journal.open(path.parent).close()


def test_a_read_only_home_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No lock file can be made: a plain message, no traceback."""

    def refuse(self: object, **_: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(writing.FileLock, "acquire", refuse)
    with pytest.raises(JournalLost, match="read-only"):
        Journal.create(tmp_path)
    monkeypatch.undo()
    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(JournalLost, match="make the folder"):
        Journal.create(tmp_path / "x")


@pytest.mark.skipif(sys.platform == "win32", reason="an open file can't be replaced there")
@pytest.mark.parametrize(
    "how",
    [
        "replaced",
        "moved",
        "grown",
        "edited",
        "edited, its time put back",
        "its end edited, its time put back",
        "seal edited",
    ],
)
def test_a_file_changed_under_the_writer_is_noticed(tmp_path: Path, how: str) -> None:
    """An editor or a sync program at the open journal: nothing is written into nowhere, and what was to be written is
    kept beside it. A letter changed in the middle shows by one of the file's two times, and in the last seal without.
    """
    with Journal.create(tmp_path) as journal:
        journal.append({"a": 1})
        journal.append({"a": 2})
        data = journal.path.read_bytes()
        if "edited" in how:
            stamp = journal.path.stat().st_mtime_ns
            place = data.index(b"a = 1") if how.startswith("edited") else -5
            hurt = bytearray(data)
            hurt[place] ^= 1
            with journal.path.open("r+b") as other:
                other.write(hurt)
            os.utime(journal.path, ns=(stamp, stamp if "put back" in how else stamp + 1_000_000))
            with pytest.raises(JournalLost, match="Nothing was written to it"):
                journal.append({"b": "typed last"})
            assert journal.path.read_bytes() == bytes(hurt)
            assert b"typed last" in (tmp_path / "unwritten-1.toml").read_bytes()
            return
        if how == "grown":
            journal.path.write_bytes(data + b"# a note\n")
        else:
            journal.path.rename(tmp_path / "old")
        if how == "replaced":
            journal.path.write_bytes(data)
        for _ in range(2):
            with pytest.raises(JournalLost, match="moved or changed by another program"):
                journal.append({"b": 2})


def test_a_file_that_was_only_touched_is_written_on(tmp_path: Path) -> None:
    """A backup that puts the file's time anew changes nothing: it is read once, found whole, and written on."""
    with Journal.create(tmp_path) as journal:
        journal.append({"a": 1})
        for number in range(3):
            later = journal.path.stat().st_mtime_ns + 5_000_000_000
            os.utime(journal.path, ns=(later, later))
            journal.append({"b": number})
    assert len(read(tmp_path / "journal.toml").events) == 4
    assert not list(tmp_path.glob("unwritten-*"))


def test_a_closed_journal_takes_nothing(tmp_path: Path) -> None:
    """Closing twice is no error; appending afterwards is."""
    journal = Journal.create(tmp_path)
    journal.close()
    journal.close()
    with pytest.raises(JournalError, match="closed"):
        journal.append({})


def test_closing_in_another_thread_frees_the_lock(tmp_path: Path) -> None:
    """A screen's worker may have opened what the screen closes."""
    import threading

    opened: list[Journal] = []
    thread = threading.Thread(target=lambda: opened.append(Journal.create(tmp_path)))
    thread.start()
    thread.join()
    opened[0].close()
    Journal.open(tmp_path).close()


def test_torn_bytes_are_durable_before_the_journal_is_cut(
    put: Put, blocks: list[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The order on the disk: the copy held, the cut, the journal held; a crash in between loses nothing."""
    path = put(blocks[0] + blocks[1][:50])
    done: list[tuple[str, int]] = []
    real_sync, real_cut = durable_io.sync, os.ftruncate

    def watched_sync(descriptor: int) -> None:
        real_sync(descriptor)
        done.append(("held", os.fstat(descriptor).st_size))

    def watched_cut(descriptor: int, size: int) -> None:
        real_cut(descriptor, size)
        done.append(("cut", size))

    monkeypatch.setattr(durable_io, "sync", watched_sync)
    monkeypatch.setattr(writing, "sync", watched_sync)
    monkeypatch.setattr(os, "ftruncate", watched_cut)
    Journal.open(path.parent).close()
    assert done == [("held", 50), ("cut", len(blocks[0])), ("held", len(blocks[0]))]


def test_the_first_write_after_opening_writes_the_last_block_once_more(
    put: Put, blocks: list[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a failed fsync the system may hold a block in memory only: what builds on it makes sure of it. Who only
    looks writes nothing.
    """
    path = put(b"".join(blocks))
    written: list[bytes] = []

    def watched(descriptor: int, data: bytes) -> None:
        written.append(bytes(data))
        durable_io.write_all(descriptor, data)

    monkeypatch.setattr(writing, "write_all", watched)
    Journal.open(path.parent).close()
    assert written == [] and path.read_bytes() == b"".join(blocks)
    with Journal.open(path.parent) as journal:
        journal.append({"sequence": 6, "kind": "note"})
        journal.append({"sequence": 7, "kind": "note"})
    more = path.read_bytes()[len(b"".join(blocks)) :]
    assert written[0].startswith(blocks[-1]) and written[0][len(blocks[-1]) :] + written[1] == more
    assert len(Journal.open(path.parent).reading.events) == 7


@pytest.mark.parametrize("code", [errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP])
def test_a_disk_that_gives_no_lock_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    """A network share: not 'look at the disk', which is well."""
    from filelock import FileLock

    def refuse(_self: FileLock) -> None:
        raise NotImplementedError("no flock") if code == errno.ENOSYS else OSError(code, os.strerror(code))

    monkeypatch.setattr(FileLock, "acquire", refuse)
    with pytest.raises(
        JournalLost, match=r"no lock is to be had there.*on a disk of this computer with --home"
    ):
        Journal.create(tmp_path / "s")


@pytest.mark.skipif(sys.platform == "win32", reason="an open file can't be moved there")
def test_what_was_typed_is_kept_where_the_session_s_folder_is_gone(tmp_path: Path) -> None:
    """In the folder of the sessions, under the session's name, and the words say where."""
    folder = tmp_path / "sessions" / "2026-03-02-a"
    with Journal.create(folder) as journal:
        journal.append({"a": 1})
        folder.rename(tmp_path / "moved")
        for _ in range(2):
            with pytest.raises(JournalChanged, match=r"unwritten-2026-03-02-a-1\.toml"):
                journal.append({"b": "typed last"})
    assert b"typed last" in (tmp_path / "sessions" / "unwritten-2026-03-02-a-1.toml").read_bytes()


def test_a_journal_that_only_this_program_writes_is_not_read_again(tmp_path: Path, monkeypatch) -> None:
    """Not once for an event: its two times are those of the last write."""
    monkeypatch.setattr(Journal, "_whole", lambda _self: pytest.fail("it was read whole"))
    with Journal.create(tmp_path) as journal:
        for number in range(5):
            journal.append({"a": number})


def test_what_to_do_fits_what_happened() -> None:
    """No room is made for a journal that was changed."""
    assert "make room on the disk" in " ".join(lost_words(JournalLost("x")))
    words = " ".join(lost_words(JournalChanged("x")))
    assert "room" not in words and "put the record back" in words
