"""What the reviewer's screen shows: what was asked of the archive, what came back, how far it was read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from wizard.archive.archive_query import SIGN_TO_READ, ArchiveFilter, ArchiveOrder, ArchivePage, ArchiveRow
from wizard.archive.bringing_up import BringingUp
from wizard.review.flags.flag_sorts import FlagGravity, FlagKind
from wizard.sessions.trusting.ledger_compared import LedgersCompared

MOST = 500
"""Sessions on the screen; who wants others narrows the search."""

SIGN = "sign"
"""The filter that goes by the sign-off."""

FILTERS = (
    ("machine", "Maker or model"),
    ("serial", "Serial number"),
    ("kind", "Kind of machine"),
    ("fault", "Fault"),
    ("part", "Part"),
    ("technician", "Technician"),
    ("since", "From a day on"),
    ("until", "Up to a day"),
    ("outcome", "How it ended"),
    ("flag", "Flag"),
    ("about", "Flag about"),
    ("gravity", "Flag's gravity"),
    (SIGN, "Sign-off"),
    ("flow", "Flow"),
    ("version", "Flow version"),
)
"""What can be filtered by, in the words of the list."""

OFFERED: dict[str, tuple[str, ...]] = {
    "about": tuple(kind.value for kind in FlagKind),
    "gravity": tuple(gravity.value for gravity in FlagGravity),
}
"""The filters that have few values, whatever the index holds."""

PICKED = frozenset(
    {"about", "gravity", "kind", "flow", "version", "fault", "part", "technician", "outcome", "flag", SIGN}
)
"""The filters whose value is picked from those that there are."""


@dataclass(frozen=True, slots=True)
class Doing:
    """What is under way with the index, how many sessions are done, and of how many."""

    what: BringingUp
    done: int
    of: int


@dataclass(frozen=True, slots=True)
class ArchiveView:
    """A view of the archive. ``page`` is None until something came back; ``doing`` while the index is brought up;
    ``ledgers``: those that sessions were compared with, None until they were.
    """

    asked: ArchiveFilter = field(default_factory=lambda: ArchiveFilter(sign=SIGN_TO_READ))
    page: ArchivePage | None = None
    doing: Doing | None = None
    ledgers: LedgersCompared | None = None

    @property
    def rows(self) -> tuple[ArchiveRow, ...]:
        """The sessions on the screen."""
        return self.page.rows if self.page is not None else ()

    def marked(self, at: int) -> ArchiveRow | None:
        """The session of a row; None where there is no such row."""
        return self.rows[at] if at < len(self.rows) else None

    def ask(self, name: str, value: str) -> ArchiveView:
        """Ask for others: the words, or a filter, as they are wanted now."""
        changes: dict[str, Any] = {name: value}
        return replace(self, asked=replace(self.asked, **changes))

    def turned(self) -> ArchiveView:
        """The other order."""
        newest = self.asked.order is ArchiveOrder.NEWEST
        order = ArchiveOrder.RISK if newest else ArchiveOrder.NEWEST
        return replace(self, asked=replace(self.asked, order=order))

    def cleared(self) -> ArchiveView:
        """Ask for all, in the order of before."""
        return replace(self, asked=ArchiveFilter(order=self.asked.order))

    def narrowed(self, among: tuple[str, ...]) -> ArchiveView:
        """Ask for these sessions alone, in the order of before."""
        return replace(self, asked=ArchiveFilter(among=among, order=self.asked.order))

    def with_page(self, page: ArchivePage) -> ArchiveView:
        """What came back."""
        return replace(self, page=page)

    def with_doing(self, doing: Doing | None) -> ArchiveView:
        """What is under way now."""
        return replace(self, doing=doing)
