"""What flags can be asked for by, as options: the values of ``FlagKind`` and ``FlagGravity``, which come late."""

from __future__ import annotations

ABOUT = ("safety", "evidence", "money", "habit")
GRAVITIES = ("high", "middle", "low")
