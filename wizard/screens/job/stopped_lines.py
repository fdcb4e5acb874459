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
    marked = [AnswerRow("Enter", "Done: the marked line")]
    return stack(
        wrap(known.says, width, "bold $error"),
        [row for reason in stop.others for row in labelled("Stopped too:", reason, width)],
        _labelled("Not cleared:", ", ".join(stop.uncleared), width),
        labelled("Call:", known.call, width),
        [Content.styled("Leave it safe:", "bold $primary"), *safe],
        answer_lines(marked if line is not None else _last(stop), width),
        _labelled("As it stands:", "; ".join(stop.as_it_stands), width),
    )


def _labelled(label: str, says: str, width: int) -> list[Content]:
    return labelled(label, says, width) if says else []


def _row(line: StopLine, marked: bool, width: int) -> list[Content]:
    """One line with its mark: done, could not be, or to do."""
    lines = wrap(line.text, width - 2, "bold" if marked else "")
    return [Content(pointer(marked) if n == 0 else "      ").append(x) for n, x in enumerate(lines)]


def _last(stop: StopInHand) -> list[AnswerRow]:
    """What is left once every line is dealt with."""
    clear = [AnswerRow("r", "It is over: say who clears it, and what was done")] if stop.over else []
    return [AnswerRow("c", "Close the job"), *clear, AnswerRow("v", "Come back to it on a new visit")]
