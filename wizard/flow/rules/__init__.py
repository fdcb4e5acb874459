"""The static rules: each a small pure function from a flow and its places to problems."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from wizard.flow.problems import Problem
from wizard.flow.rules import (
    bands,
    cases,
    gate,
    graph,
    ids,
    items,
    live,
    machines,
    references,
    screen,
    shape,
    sheets,
    units,
    use,
)
from wizard.flow.rules.book import Book

Rule = Callable[[Book], Iterable[Problem]]

RULES: tuple[Rule, ...] = (
    *ids.RULES,
    *references.RULES,
    *shape.RULES,
    *graph.RULES,
    *bands.RULES,
    *units.RULES,
    *items.RULES,
    *machines.RULES,
    *gate.RULES,
    *live.RULES,
    *screen.RULES,
    *use.RULES,
    cases.cases,
)
"""Every rule, in the order they are run; the order makes no difference."""

IF_SOUND: tuple[Rule, ...] = (use.unused,)
"""What is asked only once there are no errors, which would be the cause of it."""

__all__ = ["IF_SOUND", "RULES", "Book", "Rule", "cases", "sheets"]
