"""JSON from elsewhere: the only place that parses it."""

from __future__ import annotations

import json
from typing import Any

from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.foreign.tree_limits import within


def read_json(data: bytes, source: Source) -> Any:
    """The value of JSON in UTF-8 within the limits of its source. ValueError if there is none."""
    limits = SOURCE_LIMITS[source]
    if len(data) > limits.size:
        raise Unreadable("it is too long")
    try:
        value = json.loads(data.decode("utf-8"))
    except RecursionError:
        raise Unreadable(f"nested more than {limits.depth} deep") from None
    if isinstance(value, dict | list):
        within(value, limits)
    return value
