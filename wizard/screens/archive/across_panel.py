"""What stands in several sessions and should stand in one, in a list: Enter asks for those sessions alone."""

from __future__ import annotations

from collections.abc import Sequence

from wizard.archive.across.crossing import Crossing
from wizard.foreign.harmless import harmless
from wizard.screens.replay.replay_lists import ListEntry, ListPanel


class AcrossPanel(ListPanel):
    """Each crossing in a line, with its evidence under the list."""

    BELOW = 9
    ABOUT = (
        "Met again",
        "Photos, recordings and rows of readings that stand in sessions of different machines, jobs of one person at "
        "the same time, and sessions that others name and that are not here. Rows of readings are listed where they "
        "are rarer than chance, by how such readings are spread and by what the tool shows. It proves nothing. Enter "
        "lists those sessions alone, to go through them again.",
    )

    def __init__(self, entries: Sequence[ListEntry], sums: Sequence[str]) -> None:
        super().__init__(sums[0] if entries else " ".join(sums), entries)


def across_entries(found: Sequence[Crossing]) -> list[ListEntry]:
    """A row each: its kind and what it is."""
    return [
        ListEntry(harmless(f"{one.kind:<9} {one.says}"), n, harmless(f"{one.says} {one.evidence}"))
        for n, one in enumerate(found)
    ]
