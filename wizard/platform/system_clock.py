"""The only place that reads the time. Handed to everything below."""

from __future__ import annotations

import time
from datetime import UTC, datetime


class SystemClock:
    """The clocks of this computer."""

    def wall(self) -> datetime:
        """The present moment, aware, UTC."""
        return datetime.now(UTC)

    def mono(self) -> float:
        """Seconds on a clock that never goes back."""
        return time.monotonic()
