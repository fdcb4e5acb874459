"""What stands on the screen while work is stopped: the reason, whom to call, what is to be made safe."""

from __future__ import annotations

from textual.content import Content

from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import labelled, wrap
from wizard.screens.viewmodels.job_map.make_safe_lines import StopLine
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.viewmodels.stop_in_hand import StopInHand
from wizard.screens.widgets.entry.answer_list import answer_lines, pointer


def stopped_lines(stop: StopInHand, width: int) -> list[Content]:
    """All lines for a width; none where the flow has no such stop."""
    dealt, line = stop.stoppage, stop.line
    known = stop.view.flow.stops.get(dealt.stop) if dealt is not None else None
    if known is None:
        return []
    safe = [row for one in stop.lines for row in _row(one, one == line, width)]
    return stack(
        wrap(known.says, width, "bold $error"),
        [row for reason in stop.others for row in labelled("Stopped too:", reason, width)],
        _labelled("Not cleared:", ", ".join(stop.uncleared), width),
        labelled("Call:", known.call, width),
        [Content.styled("Leave it safe:", "bold $primary"), *safe],
        answer_lines([AnswerRow(*row) for row in stop.rows], width),
        _labelled("As it stands:", "; ".join(stop.as_it_stands), width),
    )


def _labelled(label: str, says: str, width: int) -> list[Content]:
    return labelled(label, says, width) if says else []


def _row(line: StopLine, marked: bool, width: int) -> list[Content]:
    """One line with its mark: done, could not be, or to do."""
    lines = wrap(line.text, width - 2, "bold" if marked else "")
    return [Content(pointer(marked) if n == 0 else "      ").append(x) for n, x in enumerate(lines)]
