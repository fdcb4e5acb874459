"""Keeps the second copy of a session where the shop names a folder for it, and what there is to say of that.

The copy is written by a thread of its own: a medium that hangs holds up no key and no end.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from threading import Condition, Thread

from wizard.documents.report.shop_details import read_shop
from wizard.errors import DetailsError, UsageError
from wizard.foreign.file_reader import typed_path
from wizard.journal.second_copy import SecondCopy

LATE = 3.0
"""Seconds without an answer of the medium until it is said that the copy is behind."""

END = 2.0
"""Seconds that letting a session go waits for its copy; one that is late already is not waited for."""


class CopyKeeper:
    """The copy of one session; none where the shop's file of this home names no folder, or can't be read. ``mono``: s
    on a clock that never goes back.
    """

    def __init__(self, home: Path, journal: Path, mono: Callable[[], float]) -> None:
        self._mono = mono
        self._copy: SecondCopy | None = None
        self._words: list[str] = []
        self._changed = Condition()
        self._wanted = 0
        self._since: float | None = None
        self._behind = self._over = False
        self._thread: Thread | None = None
        try:
            folder = read_shop(home).second_copy.strip()
            self._copy = SecondCopy(typed_path(folder), journal) if folder else None
        except (DetailsError, UsageError) as problem:
            self._words.append(f"No second copy is kept. {problem}")

    def follow(self, size: int) -> None:
        """The first ``size`` bytes of the journal are on the disk: have the copy brought up to them. Nothing is waited
        for.
        """
        if self._copy is None:
            return
        with self._changed:
            self._wanted = size
            if self._since is None:
                self._since = self._mono()
            if self._thread is None:
                self._thread = Thread(target=self._work, args=(self._copy,), daemon=True, name="second copy")
                self._thread.start()
            self._changed.notify_all()

    def sentences(self) -> tuple[str, ...]:
        """What there is to say since it was asked last, each once."""
        with self._changed:
            if self._copy is not None and not self._behind and self._late:
                self._behind = True
                self._words.append(
                    f"The second copy is behind: {self._copy.medium} doesn't answer. The job goes on without it, and "
                    "the copy is caught up once that answers."
                )
            words, self._words = tuple(self._words), []
        return words

    def settled(self, seconds: float) -> bool:
        """Whether the copy is up to the journal, or could not be written, within so many seconds."""
        with self._changed:
            return self._changed.wait_for(lambda: self._since is None, seconds)

    def close(self) -> None:
        """Let go of it, once it is caught up or does not answer."""
        with self._changed:
            late = self._late
        if not late:
            self.settled(END)
        with self._changed:
            self._over = True
            self._changed.notify_all()

    @property
    def _late(self) -> bool:
        return self._since is not None and self._mono() - self._since > LATE

    def _work(self, copy: SecondCopy) -> None:
        """In the thread: one round for all that is wanted, again and again."""
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._over or self._since is not None)
                if self._over:
                    return
                wanted = self._wanted
            text = _followed(copy, wanted)
            with self._changed:
                whole = wanted == self._wanted
                if whole and self._behind:
                    self._behind = False
                    text = text or f"The second copy in {copy.medium} is there again, and caught up."
                self._words += [text] if text else []
                self._since = None if whole else self._mono()
                self._changed.notify_all()


def _followed(copy: SecondCopy, size: int) -> str:
    """The result of one round; a defect of the program is reported too, since nothing else sees what this thread
    raises.
    """
    try:
        return copy.follow(size)
    except Exception as error:
        return f"The second copy in {copy.medium} can't be kept: a fault of the program's own ({error!r})."
