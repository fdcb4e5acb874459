"""What a condition may be, in the words of its values."""

from __future__ import annotations

from wizard.safety import Condition

NOT_KNOWN = "not known"
"""The words of a condition that may be anything."""


def words_of(condition: Condition, values: frozenset[str]) -> str:
    """What a condition may be, in the words of its values; 'not known' where it may be anything. Of one that is latched
    nothing else is said.
    """
    values = values & condition.latch or values
    if len(values) == len(condition.values) - len(condition.latch) and not values & condition.latch:
        return NOT_KNOWN
    return " or ".join(says for value, says in condition.values.items() if value in values)
