"""What speaks for and against the marked fault, and under it what the ticked ones leave to ask."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from wizard.domain.probability import percent
from wizard.engine.guidance.session_ranking import FaultExplanation
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.faults.fault_rows import FaultRow, reasons
from wizard.screens.viewmodels.step.body_room import BodyRoom
from wizard.screens.viewmodels.step.step_columns import EVIDENCE
from wizard.screens.widgets.faults.fault_line import width_of

LEAST = 3
"""Lines, at least, for what speaks for and against the marked fault."""

GAP = 3
"""Columns between the faults and the reasons where they stand side by side."""


def lines_needed(rows: Sequence[FaultRow], room: BodyRoom) -> int:
    """Columns of the faults: all of them, or on a wide screen what their names need, beside the reasons."""
    most = room.columns - GAP - EVIDENCE
    return min(2 + width_of(rows, ticks=True), most) if room.wide else room.columns


class FaultReasons(Static):
    """Beside the faults on a wide screen, else under them."""

    def show(
        self,
        row: FaultRow,
        explained: FaultExplanation,
        left: Sequence[str],
        room: BodyRoom,
        faults: tuple[int, int],
        above: int,
    ) -> None:
        """Explain a row, with the sentences on what is ``left``; ``faults``: columns and lines of the list, ``above``:
        lines above both. A sentence at the end that has no room beside the list is left out, never cut.
        """
        width = room.columns - (faults[0] + GAP if room.wide else 0)
        head = [
            Content.styled(line, "bold") for line in wrapped(f"{row.says}: {percent(row.probability)}", width)
        ]
        sentences = [wrapped(text, width) for text in (left if room.wide else [" ".join(left)])]
        taken = len(head) + above + (2 if room.wide else 5 + faults[1])
        while room.wide and len(sentences) > 1 and taken + sum(map(len, sentences)) + LEAST > room.lines:
            sentences.pop()
        below = [Content.styled(line, "$primary") for lines in sentences for line in lines]
        taken += len(below)
        why = map(Content, reasons(explained, max(LEAST, room.lines - taken), width))
        self.update(Content("\n").join([*head, *why, *below]))
