"""Append to a journal: one writer, and every event on the disk before the call returns."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from filelock import FileLock, Timeout

from wizard.errors import JournalBusy, JournalChanged, JournalError, JournalFull, JournalLost
from wizard.journal.durable_io import (
    FULL,
    PRIVATE_FILE,
    load,
    lost,
    make_folder,
    sync,
    sync_folder,
    write_all,
    write_new,
)
from wizard.journal.journal_reader import NAME, JournalContents, parse
from wizard.journal.sealed_block import CHAIN, CLOSE, START, encode

LOCK = "journal.lock"
"""The file beside the journal that the one writer holds locked."""

_SEAL_BYTES = len(CHAIN) + len(START) + len(CLOSE)
"""The bytes that a journal ends with: its last seal."""

_PIECE = 1_000_000

_BINARY = getattr(os, "O_BINARY", 0)


@dataclass(frozen=True, slots=True)
class JournalRecovery:
    """What opening a journal had to repair. ``torn`` is the file that the cut-off bytes were set aside in.

    ``strange``: these were a whole block, but its seal did not fit.
    """

    torn: Path | None = None
    torn_bytes: int = 0
    newline: bool = False
    strange: bool = False

    @property
    def says(self) -> tuple[str, ...]:
        """A sentence for the screen on each thing repaired; empty if the journal was whole."""
        text = []
        if self.torn is not None:
            what = (
                f"The last block was altered, or is there twice: its seal does not fit. Its {self.torn_bytes} bytes"
                if self.strange
                else f"The last write was cut off: {self.torn_bytes} bytes without a valid seal"
            )
            text.append(
                f"{what} were set aside in {self.torn.name}. Look at the last answer: it may have to be given again."
            )
        if self.newline:
            text.append("The last write lacked only its last newline. It is whole again; nothing was lost.")
        return tuple(text)


class Journal:
    """An open journal. Made by :meth:`create` or :meth:`open`; a context manager that closes it."""

    def __init__(
        self,
        folder: Path,
        descriptor: int,
        lock: FileLock,
        reading: JournalContents,
        recovery: JournalRecovery,
    ) -> None:
        self.folder = folder
        self.path = folder / NAME
        self.reading = reading
        self.recovery = recovery
        self.chain = reading.last_chain
        self._descriptor = descriptor
        self._lock = lock
        self._size, self._stamp = os.fstat(descriptor).st_size, _stamp(descriptor)
        self._dead = ""
        self._kind = JournalLost
        self._closed = False
        self._unsure = b""

    @classmethod
    def create(cls, folder: Path) -> Self:
        """Start an empty journal in a folder, which is made if need be.

        JournalError if one is there already, JournalBusy if another program is at it, JournalLost if the disk
        refuses.
        """
        path = folder / NAME
        try:
            make_folder(folder)
        except OSError as error:
            raise lost("make the folder", folder, error) from error
        lock = locked(folder)
        try:
            write_new(path, b"")
            return cls(
                folder,
                _descriptor(path),
                lock,
                JournalContents(path, (), (), 0, 0, b"", False),
                JournalRecovery(),
            )
        except FileExistsError:
            lock.release()
            raise JournalError(
                f"{path}: a journal is there already. Open it, or take a new session."
            ) from None
        except OSError as error:
            lock.release()
            raise lost("start the journal", path, error) from error

    @classmethod
    def open(cls, folder: Path, keeps: Callable[[bytes], str] = lambda _torn: "") -> Self:
        """Open a journal for more work; ``reading`` holds its events and ``recovery`` what was repaired.

        A torn end is set aside in its own file. ``keeps`` says why a last block that is whole, and whose seal does not
        fit, may not be set aside, as a sentence; it is not asked of one that is the block before once more.
        JournalError if there is no journal, or it is damaged before its end or has such a block (nothing is altered
        then), JournalBusy if another program is writing it, JournalLost if the disk refuses.
        """
        path = folder / NAME
        load(path)
        lock = locked(folder)
        descriptor = -1
        try:
            data = load(path)
            reading = parse(data, path)
            once_more = reading.torn == data[reading.last_start : reading.stop]
            if reading.strange and not once_more and (why := keeps(reading.torn)):
                raise JournalError(f"{path}: {why}")
            descriptor = _descriptor(path)
            recovery = _recover(descriptor, data, reading)
            journal = cls(folder, descriptor, lock, reading, recovery)
            journal._unsure = b"" if recovery.says else data[reading.last_start : reading.stop]
            return journal
        except BaseException as error:
            if descriptor >= 0:
                os.close(descriptor)
            lock.release()
            if isinstance(error, OSError):
                raise lost("open the journal", path, error) from error
            raise

    @property
    def begun(self) -> bool:
        """True once an event is on the disk."""
        return self.chain != START

    @property
    def size(self) -> int:
        """The bytes that stand for good."""
        return self._size

    def append(self, event: Mapping[str, Any]) -> str:
        """Write one event, durably, and give its chain value.

        TypeError or ValueError for an event that can't be written, and JournalFull where the disk has no room for it:
        nothing was written, and the journal goes on. JournalLost if the disk refuses: the event may not be kept, and
        nothing more is written until the journal is opened again, since a failed fsync can't be tried again on the same
        descriptor.
        """
        if self._closed:
            raise JournalError(f"{self.path}: the journal is closed. Open the session again.")
        if self._dead:
            raise self._kind(self._dead)
        block, chain = encode(event, self.chain)
        written = False
        # Dead until proved alive: whatever breaks in here, a half-written block may be on the disk.
        self._dead = f"Writing {self.path} was broken off. Open the session again before going on."
        try:
            self._still_ours(block)
            # The last block of before is written again as it is, before the first one that builds on it: if an fsync
            # failed then, the page may be in memory only and count as clean. Who only looks writes nothing.
            os.lseek(self._descriptor, self._size - len(self._unsure), os.SEEK_SET)
            write_all(self._descriptor, self._unsure + block)
            written = True
            sync(self._descriptor)
        except OSError as error:
            failure = lost("write", self.path, error)
            if not written and error.errno in FULL and self._taken_back():
                self._dead = ""
                raise JournalFull(
                    f"The disk is full: {self.path} can't take what was given last, and nothing of it was written. "
                    "All before it is kept. Free some space, then try again."
                ) from error
            self._dead = str(failure)
            raise failure from error
        self._size += len(block)
        self.chain = chain
        self._stamp = _stamp(self._descriptor)
        self._dead, self._unsure = "", b""
        return chain

    def _taken_back(self) -> bool:
        """Take away what a full disk took of a block; whether the file ends where it did, and the disk holds it."""
        try:
            os.ftruncate(self._descriptor, self._size)
            sync(self._descriptor)
        except OSError:
            return False
        return os.fstat(self._descriptor).st_size == self._size

    def _still_ours(self, block: bytes) -> None:
        """JournalLost if another program replaced or changed the file: writing on would lose events. What was to be
        written is kept, as ``kept_unwritten`` says.
        """
        mine, stamp = os.fstat(self._descriptor), _stamp(self._descriptor)
        try:
            there = self.path.stat()
        except FileNotFoundError:
            there = None
        same = there is not None and os.path.samestat(mine, there) and mine.st_size == self._size
        if same and self._last_seal_holds() and ((stamp and stamp == self._stamp) or self._whole()):
            self._stamp = stamp
            return
        kept = kept_unwritten(self.folder, block)
        where = f"What was given last is kept in {kept}. " if kept is not None else ""
        self._dead = (
            f"{self.path} was moved or changed by another program while open. Nothing was written to it. {where}"
            "Put the file back as it was, or restore it from a copy, then open the session again. "
            "session verify says what is wrong with it."
        )
        self._kind = JournalChanged
        raise JournalChanged(self._dead)

    def _last_seal_holds(self) -> bool:
        """Whether the file still ends with the seal that was written last."""
        if not self.begun:
            return True
        os.lseek(self._descriptor, max(0, self._size - _SEAL_BYTES), os.SEEK_SET)
        return self.chain.encode("ascii") in os.read(self._descriptor, _SEAL_BYTES)

    def _whole(self) -> bool:
        """Whether the whole file is still what was written, where its time says that somebody was at it."""
        os.lseek(self._descriptor, 0, os.SEEK_SET)
        data = b"".join(iter(lambda: os.read(self._descriptor, _PIECE), b""))
        try:
            reading = parse(data, self.path)
        except JournalError:
            return False
        return reading.last_chain == self.chain and reading.stop == self._size

    def close(self) -> None:
        """Let go of the file and the lock. Closing twice is no error.

        What the disk says then is no error either: every event was on it before it was acknowledged, and the system
        lets go of a lock that can't be given back when the program ends.
        """
        if self._closed:
            return
        self._closed = True
        with suppress(OSError):
            os.close(self._descriptor)
        with suppress(OSError):
            self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def locked(folder: Path) -> FileLock:
    """The writer's lock of a folder, held. JournalBusy if another program has it, JournalLost where there is none."""
    # Not per thread: a screen may open a journal in one thread and close it in another.
    lock = FileLock(folder / LOCK, timeout=0, thread_local=False, mode=PRIVATE_FILE)
    try:
        lock.acquire()
    except Timeout:
        raise JournalBusy(
            f"{folder / NAME}: another program is working on this session. Close it there, then open it here."
        ) from None
    except OSError as error:
        raise lost("lock", folder / LOCK, error) from error
    except NotImplementedError as error:  # filelock's word for a disk that gives no locks
        raise lost("lock", folder / LOCK, OSError(errno.ENOSYS, str(error))) from error
    return lock


def _stamp(descriptor: int) -> tuple[int, ...]:
    """When a file was written last, and when anything of it was changed last: the first can be put back, the second
    can't (on Windows it is when the file was made). Empty where the system doesn't say.
    """
    try:
        now = os.fstat(descriptor)
    except OSError:
        return ()
    return (now.st_mtime_ns, now.st_ctime_ns)


def _descriptor(path: Path) -> int:
    """The journal opened for reading and writing, as bytes."""
    return os.open(path, os.O_RDWR | _BINARY)


def _recover(descriptor: int, data: bytes, reading: JournalContents) -> JournalRecovery:
    """Set a torn end aside, add a missing newline, have the disk hold it; a whole journal isn't touched."""
    aside = set_aside(reading.path.parent, reading.torn) if reading.torn else None
    recovery = JournalRecovery(aside, len(reading.torn), reading.lacks_newline, reading.strange)
    if not recovery.says:
        return recovery
    if aside is not None:
        os.ftruncate(descriptor, reading.stop)
    os.lseek(descriptor, reading.last_start, os.SEEK_SET)
    write_all(descriptor, data[reading.last_start : reading.stop] + (b"\n" if reading.lacks_newline else b""))
    sync(descriptor)
    sync_folder(reading.path.parent)
    return recovery


def kept_unwritten(folder: Path, block: bytes) -> Path | None:
    """Keep a block that could not be written, as ``set_aside``; where the session's folder is gone, or takes nothing,
    in the folder of the sessions or the home, under the session's name. None where they take nothing either.
    """
    beside = f"unwritten-{folder.name}"
    for place, name in ((folder, "unwritten"), (folder.parent, beside), (folder.parent.parent, beside)):
        with suppress(OSError):
            return set_aside(place, block, name)
    return None


def set_aside(folder: Path, torn: bytes, name: str = "torn") -> Path:
    """Keep torn bytes in the first free ``torn-<n>.toml``, or in the one that already holds just them."""
    number = 1
    while True:
        path = folder / f"{name}-{number}.toml"
        try:
            write_new(path, torn)
            return path
        except FileExistsError:
            if path.is_file() and path.read_bytes() == torn:
                return path
        number += 1


__all__ = ["LOCK", "START", "Journal", "JournalRecovery", "locked", "set_aside"]
