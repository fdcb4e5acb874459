"""Calls of the system that go wrong: the functions of ``os`` that the program writes by, replaced in this process.

A process that has these is thrown away afterwards. What a real disk does is modelled, not tried: a power cut keeps what
was synced, files by their bytes and folders by their names, and of the rest nothing, or a part by chance.
"""

from __future__ import annotations

import contextlib
import errno
import fcntl
import os
import random
import stat
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.faults.fault_kinds import Fault, FaultKind

REAL = {name: getattr(os, name) for name in (
    "write", "fsync", "open", "close", "rename", "replace", "mkdir", "unlink", "ftruncate",
)}  # fmt: skip
LOCK = fcntl.flock
END = 97
"""The exit code of a process that a fault ended."""

BROKEN = 98
"""That of one in which the harness itself broke."""

AT: dict[FaultKind, frozenset[str]] = {
    FaultKind.KILL_INSIDE: frozenset({"write"}),
    FaultKind.SHORT_WRITE: frozenset({"write"}),
    FaultKind.WRITE_FAILS: frozenset({"write"}),
    FaultKind.DISK_FULL: frozenset({"write"}),
    FaultKind.SYNC_FAILS: frozenset({"fsync"}),
    FaultKind.OPEN_FAILS: frozenset({"open"}),
    FaultKind.CLOSE_FAILS: frozenset({"close"}),
    FaultKind.RENAME_FAILS: frozenset({"rename", "replace"}),
    FaultKind.MAKE_FAILS: frozenset({"mkdir"}),
    FaultKind.LOCK_FAILS: frozenset({"flock"}),
}
"""The calls that a fault may come at; any for those that aren't named."""

ERRORS = {
    FaultKind.WRITE_FAILS: errno.EIO, FaultKind.DISK_FULL: errno.ENOSPC, FaultKind.OPEN_FAILS: errno.EMFILE,
    FaultKind.CLOSE_FAILS: errno.EIO, FaultKind.RENAME_FAILS: errno.EACCES, FaultKind.MAKE_FAILS: errno.ENOSPC,
    FaultKind.LOCK_FAILS: errno.ENOLCK, FaultKind.SYNC_FAILS: errno.EIO,
}  # fmt: skip
CUTS = (FaultKind.POWER_CUT, FaultKind.POWER_CUT_LUCKY)


class FaultyCalls:
    """The calls of one process. ``came`` tells that the fault came; ``counted``: how many it could have come at."""

    def __init__(self, fault: Fault, home: Path, survivors: Path) -> None:
        self.fault, self.came, self.counted = fault, False, 0
        self._home, self._survivors = home, survivors
        self._bytes: dict[int, bytes] = {}
        self._names: dict[int, dict[str, int]] = {}
        self._full = False

    def know(self) -> None:
        """Everything that is there now is on the disk."""
        for folder, names, files in os.walk(self._home.parent):
            self._names[Path(folder).stat().st_ino] = {
                n: Path(folder, n).lstat().st_ino for n in (*names, *files)
            }
            for name in files:
                path = Path(folder, name)
                self._bytes[path.lstat().st_ino] = path.read_bytes()

    def put_under(self) -> None:
        """From now on this process calls these."""
        for name in REAL:
            setattr(os, name, self._called(name, REAL[name]))
        fcntl.flock = self._called("flock", LOCK)

    def _called(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **keys: Any) -> Any:
            if name not in AT.get(self.fault.kind, {name}):
                return self._done(name, real, args, keys)
            number, self.counted = self.counted, self.counted + 1
            if self._full and name == "write":
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            if number != self.fault.call or self.came:
                return self._done(name, real, args, keys)
            self.came = True
            return self._faulty(name, real, args, keys)

        return call

    def _done(self, name: str, real: Callable[..., Any], args: Any, keys: Any) -> Any:
        result = real(*args, **keys)
        if name == "fsync":
            self._synced(args[0])
        return result

    def _faulty(self, name: str, real: Callable[..., Any], args: Any, keys: Any) -> Any:
        match self.fault.kind:
            case FaultKind.KILL_BEFORE:
                os._exit(END)
            case FaultKind.KILL_AFTER:
                real(*args, **keys)
                os._exit(END)
            case FaultKind.KILL_INSIDE:
                real(args[0], self._part(args[1]))
                os._exit(END)
            case FaultKind.SHORT_WRITE:
                self._full = True
                return real(args[0], self._part(args[1]))
            case FaultKind.POWER_CUT | FaultKind.POWER_CUT_LUCKY:
                try:
                    if random.Random(self.fault.seed).random() < 0.5:
                        with contextlib.suppress(OSError):  # Some calls ask for what needn't be there.
                            real(*args, **keys)
                    self._cut()
                except BaseException:  # The program may take an OSError for the disk's, and go on.
                    os.write(2, traceback.format_exc().encode())
                    os._exit(BROKEN)
                os._exit(END)
            case FaultKind.SYNC_FAILS:
                self._forget(args[0])
            case FaultKind.CLOSE_FAILS:
                real(*args, **keys)
        code = ERRORS[self.fault.kind]
        raise OSError(code, os.strerror(code))

    def _part(self, data: Any) -> bytes:
        """The beginning of what was to be written, of a length by chance."""
        whole = bytes(data)
        return whole[: random.Random(self.fault.seed).randrange(len(whole))] if whole else whole

    def _forget(self, descriptor: int) -> None:
        """The pages that a failed fsync should have written are gone: some disks drop them and call them clean."""
        if stat.S_ISREG(os.fstat(descriptor).st_mode):
            found = os.fstat(descriptor)
            least = min(len(self._bytes.get(found.st_ino, b"")), found.st_size)
            REAL["ftruncate"](descriptor, random.Random(self.fault.seed).randrange(least, found.st_size + 1))

    def _synced(self, descriptor: int) -> None:
        found = os.fstat(descriptor)
        where = Path(f"/proc/self/fd/{descriptor}").readlink()
        if stat.S_ISDIR(found.st_mode):
            self._names[found.st_ino] = {n.name: n.inode() for n in os.scandir(where)}
        elif stat.S_ISREG(found.st_mode):
            self._bytes[found.st_ino] = where.read_bytes()

    def _cut(self) -> None:
        """Write what the disk holds into the survivors' folder."""
        for name in REAL:
            setattr(os, name, REAL[name])
        base = self._home.parent
        self._lay(base, base.stat().st_ino, self._survivors)

    def _lay(self, folder: Path, inode: int, target: Path) -> None:
        target.mkdir(parents=True, exist_ok=True)
        now = {n.inode(): n for n in os.scandir(folder)} if folder.is_dir() else {}
        chance = random.Random(f"{self.fault.seed} {folder.name}")
        lucky = self.fault.kind is FaultKind.POWER_CUT_LUCKY
        names = dict(self._names.get(inode, {}))
        if lucky:
            names |= {e.name: i for i, e in now.items() if chance.random() < 0.5}
        for name, number in names.items():
            entry = now.get(number)
            if entry is not None and entry.is_dir(follow_symlinks=False):
                self._lay(Path(entry.path), number, target / name)
            elif entry is not None or number in self._bytes:
                (target / name).write_bytes(self._content(entry, number, chance if lucky else None))

    def _content(self, entry: os.DirEntry[str] | None, number: int, chance: random.Random | None) -> bytes:
        kept = self._bytes.get(number, b"")
        if chance is None or entry is None:
            return kept
        whole = Path(entry.path).read_bytes()
        return whole[: chance.randrange(len(kept), len(whole) + 1)] if whole.startswith(kept) else kept
