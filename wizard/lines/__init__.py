"""The line mode: a whole job as plain text, question by question, for screen readers, dumb terminals and slow links.

It leads the same controller as the full screen by the same commands, so a session made here can't be told from one made
there. Nothing moves a cursor, and nothing is coloured.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wizard.sessions.session_store import Store

__all__ = ["run"]


def run(store: Store, flows: Callable[[], Mapping[str, Path]], resume: str = "", flow: str = "") -> int:
    """Lead one job by lines over standard input and output and return the exit code.

    ``resume`` names a session to take up, else a new one begins, on ``flow`` where it is named. SteadfootError where it
    can't be opened. The end of input leaves the job as it stands.
    """
    from wizard.lines.whole_job import whole_job

    return whole_job(store, flows, resume, flow)
