"""What a process that reads contents under coverage may take: one place for those who start it and for itself."""

from __future__ import annotations

HANG, MEMORY = 5.0, 500.0
"""Seconds on the processor that one content may take, and megabytes that a reader may take in all."""

ADDRESS_SPACE = 4_000_000_000
"""Bytes of address space: what hangs on to more is ended by the system."""

MARGIN = 120
"""Seconds on the processor beyond those that were asked for, for the imports and the last content."""

LONGEST = 20_000
"""Bytes of a content that is made."""
