"""The list of the home screen: the flows that a job can be begun on, then the sessions, the newest first.

Plain data: home is painted before anything of a flow or a journal is imported.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from textual.content import Content

from wizard.journal.session_name import short_name
from wizard.screens.text.clipping import cut

if TYPE_CHECKING:
    from wizard.screens.viewmodels.session_list import Summary
    from wizard.sessions.review_inbox import InboxRow

LEAST = 12
"""Columns of a complaint at least."""


@dataclass(frozen=True, slots=True)
class HomeList:
    """Flows by id and title, sessions by name, and what was read of them so far."""

    flows: tuple[tuple[str, str], ...] = ()
    sessions: tuple[str, ...] = ()
    read: Mapping[str, Summary] = field(default_factory=dict)

    def reading(self, found: Summary) -> HomeList:
        """Return it with what was read of one session."""
        return replace(self, read={**self.read, found.name: found})

    def flow(self, index: int) -> str:
        """The flow of a line; empty where it is no flow's."""
        return self.flows[index][0] if index < len(self.flows) else ""

    def session(self, index: int) -> str:
        """The session of a line behind those of the flows."""
        return self.sessions[index - len(self.flows)]

    @property
    def technician(self) -> str:
        """Who did the last job whose technician is known; empty where nobody is."""
        return next((s.technician for s in self.read.values() if s.technician), "")

    @property
    def inbox(self) -> tuple[InboxRow, ...]:
        """What reviewers wrote on these sessions, so far as they were read, that the technician is to read."""
        return tuple(row for name in self.sessions if name in self.read for row in self.read[name].inbox)

    def newest(self, name: str) -> bool:
        """True for the newest session."""
        return self.sessions[:1] == (name,)

    def keys(self, index: int) -> tuple[str, ...]:
        """The ids of the keys: what Enter does with the marked line, the arrows where there are several, and new."""
        rows = len(self.flows) + len(self.sessions)
        enter = "begin" if index < len(self.flows) else "take-up"
        return (*((enter,) if rows else ()), *(("cursor",) if rows > 1 else ()), "new")

    def rows(self, width: int) -> list[Content]:
        """The lines, cut to a window of so many columns."""
        begin = [Content(cut(f"Begin a new job: {title}", width - 4)) for _name, title in self.flows]
        aloud = {name: short_name(name) for name in self.sessions}
        count = Counter(aloud.values())
        called = {name: short if count[short] == 1 else name for name, short in aloud.items()}
        return [*begin, *(self._row(name, called[name], width) for name in self.sessions)]

    def _row(self, session: str, name: str, width: int) -> Content:
        """A line; ``name``: how the session is called here, by day and letter where no other has these."""
        found = self.read.get(session)
        if found is None:
            return Content(name)
        if found.trouble:
            return Content(f"{name}  ").append(Content.styled("can't be read", "$error"))
        room = max(LEAST, width - 44 - max(12, len(name)))
        returned = "RETURNED: " if any(one.returned for one in found.inbox) else ""
        words = f"{returned}{found.complaint}"
        says = words if len(words) <= room else f"{words[: room - 3]}..."
        return Content(f"{name}  {found.when:<12}  {found.stands:<19}  {says}")
