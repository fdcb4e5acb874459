"""What the screen of trends shows: which trend, of which sessions, and what came back."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.trend_cell import GROUPS, WITHIN, TrendGroup, TrendKind
from wizard.archive.trends.trend_table import TrendAsked, TrendRow, TrendTable
from wizard.archive.trends.trend_words import cell_words

ORDER = (
    TrendKind.BACK,
    TrendKind.PROOF,
    TrendKind.RANKED,
    TrendKind.MINUTES,
    TrendKind.LEFT_OUT,
    TrendKind.NEAR,
)
"""The trends in the order in which Left and Right go through them."""


@dataclass(frozen=True, slots=True)
class TrendsView:
    """A view of one trend. ``table`` is None until it was computed."""

    kind: TrendKind = ORDER[0]
    group: TrendGroup | None = None
    within: int = WITHIN
    target: float | None = None
    among: ArchiveFilter = field(default_factory=ArchiveFilter)
    table: TrendTable | None = None

    @classmethod
    def of(cls, asked: TrendAsked) -> TrendsView:
        """The view that shows what is asked for."""
        return cls(asked.kind, asked.group, asked.within, asked.target, asked.among)

    @property
    def rows(self) -> tuple[TrendRow, ...]:
        """The rows on the screen."""
        return self.table.rows if self.table is not None else ()

    @property
    def groups(self) -> tuple[TrendGroup, ...]:
        """What may have a row of its own."""
        return GROUPS[self.kind]

    def asked(self, today: int) -> TrendAsked:
        """What is to be computed, on a day."""
        return TrendAsked(self.kind, today, self.group, self.within, self.target, self.among)

    def turned(self, by: int) -> TrendsView:
        """The next trend, or the one before; its target is its own."""
        kind = ORDER[(ORDER.index(self.kind) + by) % len(ORDER)]
        return replace(self, kind=kind, group=None, target=None, table=None)

    def rows_by(self, group: TrendGroup) -> TrendsView:
        """The same with other rows."""
        return replace(self, group=group, table=None)

    def of_those(self, among: ArchiveFilter) -> TrendsView:
        """The same of other sessions."""
        return replace(self, among=among, table=None)

    def behind(self, at: int, hits: bool) -> ArchiveFilter | None:
        """The sessions behind a row: its hits, or where it has none, or they are asked for, all that it counts."""
        if self.table is None or at >= len(self.rows):
            return None
        row = self.rows[at]
        wanted = hits and row.hits > 0
        cell = replace(self.table.cell(row, wanted), says=cell_words(self.table, row, wanted))
        return replace(self.among, cell=cell)
