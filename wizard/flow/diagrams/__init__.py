"""A flow drawn: as Mermaid text for a page, and as lines for the terminal. Needs no engine and checks nothing."""

from __future__ import annotations

from collections.abc import Set

from wizard.flow.diagrams.mermaid import mermaid
from wizard.flow.diagrams.overview import overview
from wizard.flow.diagrams.step_links import Link, LinkKey, links
from wizard.flow.diagrams.tree import tree
from wizard.flow.model import Flow

__all__ = ["Link", "drawn", "links", "mermaid"]


def drawn(
    flow: Flow,
    inspection: str | None = None,
    width: int = 80,
    plain: bool = False,
    covered: Set[LinkKey] | None = None,
) -> list[str]:
    """The flow as lines of at most ``width`` columns: one inspection with every way through it, or all in their
    order.

    ``plain`` keeps to ASCII. ``covered`` are the ways that cases go, by ``Link.key``; None: nothing is marked.
    KeyError if there is no such inspection, ValueError if ``width`` is below 40.
    """
    if width < 40:
        raise ValueError(f"width: {width} columns are too few, it takes 40")
    if inspection is None:
        return overview(flow, width, plain, covered)
    return tree(flow, flow.inspections[inspection], width, plain, covered)
