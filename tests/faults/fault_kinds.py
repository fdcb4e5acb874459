"""The faults that are put under a job, and what came of each."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class FaultKind(StrEnum):
    """What happens at one call of the system. The values are what the table says."""

    KILL_BEFORE = "killed before a call"
    KILL_AFTER = "killed after a call"
    KILL_INSIDE = "killed inside a write"
    SHORT_WRITE = "a short write, then the disk is full"
    WRITE_FAILS = "write fails (EIO)"
    DISK_FULL = "write fails (ENOSPC)"
    SYNC_FAILS = "fsync fails (EIO), its bytes gone"
    OPEN_FAILS = "open fails (EMFILE)"
    CLOSE_FAILS = "close fails (EIO)"
    RENAME_FAILS = "rename fails (EACCES)"
    MAKE_FAILS = "mkdir fails (ENOSPC)"
    LOCK_FAILS = "lock fails (ENOLCK)"
    POWER_CUT = "power cut: only what was synced stays"
    POWER_CUT_LUCKY = "power cut: of the rest a part, by chance"


class Workload(StrEnum):
    """What is going on: a job in a home that isn't there yet, or one that is taken up again."""

    NEW_HOME = "new home"
    KNOWN_HOME = "known home"


@dataclass(frozen=True)
class Fault:
    """A fault at the ``call``-th call of those that it may come at, counted from 0. ``seed``: of what is by chance."""

    kind: FaultKind
    call: int
    workload: Workload
    seed: int = 0


@dataclass
class Outcome:
    """What came of one try. ``lost``, ``invented``: events; ``unsaid``: something was repaired or missing and no
    sentence said so; ``stuck``: why the job can't go on, or a traceback; ``came``: whether the fault came at all.
    """

    fault: Fault
    came: bool = False
    acknowledged: int = 0
    lost: int = 0
    invented: int = 0
    unsaid: str = ""
    stuck: str = ""
    notes: list[str] = field(default_factory=list)

    @property
    def ok(self) -> bool:
        """True where nothing is wrong."""
        return not (self.lost or self.invented or self.unsaid or self.stuck)
