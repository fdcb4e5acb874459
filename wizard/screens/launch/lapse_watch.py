"""Watches a job for time that went by: a lapse, the computer suspended, nobody at the keys for long."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from wizard.errors import JournalFull, JournalLost

if TYPE_CHECKING:
    from wizard.screens.layout.controller import JobController


class LapseWatch:
    """``job`` gives the job that is worked on, or None; ``typed`` what stands in the field of its screen.

    ``found`` is called when less is known than before, ``lost`` when that could not be written down;
    ``show`` draws the job.
    """

    def __init__(
        self,
        job: Callable[[], JobController | None],
        typed: Callable[[], str],
        found: Callable[[JobController], None],
        lost: Callable[[JournalLost], None],
        show: Callable[[], None],
    ) -> None:
        self._job, self._typed = job, typed
        self._found, self._lost, self._show = found, lost, show

    def key(self) -> bool:
        """A key was pressed. True when less is known since."""
        return self._look(lambda job, typed: job.touch(typed), key=True)

    def beat(self) -> None:
        """The program runs, with nobody at the keys: what is known no more is shown at once, and so is what became of
        the second copy.
        """
        less = self._look(
            lambda job, typed: job.beat(typed) or (job.opened.session.overdue and job.touch(typed))
        )
        job = self._job()
        if less or (job is not None and copy_sentences(job)):
            self._show()

    def _look(self, look: Callable[[JobController, str], bool], key: bool = False) -> bool:
        job = self._job()
        if job is None:
            return False
        try:
            found = look(job, self._typed())
        except JournalFull as full:
            # What is known no more can't be written down: nothing is taken before it is.
            if not key:
                return False
            job.notice = (str(full),)
            found = True
        except JournalLost as lost:
            self._lost(lost)
            return True
        if found:
            self._found(job)
        return found


def copy_sentences(job: JobController) -> bool:
    """Whether there is something to say of the second copy, which then stands before what was said already."""
    says = job.opened.copied()
    job.notice = (*says, *job.notice)
    return bool(says)
