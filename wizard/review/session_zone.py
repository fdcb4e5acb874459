"""The zone that a session was begun in, as its first event has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timezone

from wizard.domain.clock_times import zone_of
from wizard.engine.messages.events import Began, Recorded


@dataclass(frozen=True, slots=True)
class SessionZone:
    """``offset``: '+01:00'; empty where the record has none, and UTC is taken."""

    offset: str = ""

    @classmethod
    def of(cls, records: Sequence[Recorded]) -> SessionZone:
        """That of a session's events."""
        first = records[0].event if records else None
        return cls(first.zone if isinstance(first, Began) else "")

    @property
    def zone(self) -> timezone:
        """It, for the times of events."""
        return zone_of(self.offset)

    @property
    def words(self) -> str:
        """'UTC+01:00'; 'UTC' where it is that, or the record has none."""
        return f"UTC{self.offset}" if self.zone.utcoffset(None) else "UTC"
