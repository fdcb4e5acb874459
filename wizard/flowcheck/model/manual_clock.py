"""A clock that stands still until it is moved, for jobs that are played and not worked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

START = datetime(2026, 1, 5, 9, 0, tzinfo=UTC)
"""When every case begins: a Monday morning, so that two runs of a case give the same journal."""


class CaseClock:
    """Both clocks of a session, moved together by ``pass_by``."""

    def __init__(self, start: datetime = START) -> None:
        self._wall = start
        self._mono = 0.0

    def wall(self) -> datetime:
        """The present moment, UTC."""
        return self._wall

    def mono(self) -> float:
        """Seconds since the start."""
        return self._mono

    def pass_by(self, seconds: float) -> None:
        """Let time pass."""
        self._wall += timedelta(seconds=seconds)
        self._mono += seconds
