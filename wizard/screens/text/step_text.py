"""The words of a step as lines: its cautions, what to do, what to expect."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.engine.queries import last_known
from wizard.engine.state.job_view import JobView
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.text.caution_text import caution_lines
from wizard.screens.text.columns import packed, stack
from wizard.screens.text.step_sentences import (
    EXPECT,
    LAST_KNOWN,
    NOT_KNOWN_NOW,
    WAIT,
    step_sentences,
)
from wizard.screens.text.wrapping import wrapped


def wrap(text: str, width: int, style: str = "") -> list[Content]:
    """A text as lines of a width."""
    return [Content.styled(line, style) for line in wrapped(text, width)]


def labelled(label: str, text: str, width: int) -> list[Content]:
    """A text with a label before it, running on under the label."""
    lines = wrapped(f"{label} {text}", width)
    return [Content(line).stylize("$primary", 0, len(label) if n == 0 else 0) for n, line in enumerate(lines)]


KNOWN = 4
"""The lines that what was last known of a step's conditions may take: what is asked must stay in sight."""


def _cut(lines: list[Content], most: int, width: int) -> list[Content]:
    """These lines, or as many as there may be, the last of them saying that there is more and where."""
    if len(lines) <= most:
        return lines
    more = " ... (F11: all of it)"
    last = lines[most - 1].plain
    kept = last[: width - len(more)].rpartition(" ")[0] or last[: width - len(more)]
    return [*lines[: most - 1], Content(kept + more)]


def step_lines(
    view: JobView, width: int, system: UnitSystem | None = None, wait: float = 0.0, known: int = KNOWN
) -> tuple[Sequence[Content], Sequence[Content], Sequence[Content]]:
    """Warnings, what to do, what to expect; each a block of lines.

    ``wait``: seconds left until it may be answered. ``system``: the units on screen where they aren't the step's own;
    each measure then has its value in them behind. ``known``: the lines that what was last known of it may take.
    """
    says = step_sentences(view, system, wait)
    warnings = caution_lines(says.cautions, width)
    if says.wait:
        warnings = [*warnings, *labelled(WAIT, says.wait, width)]
    if says.not_known:
        unknown = labelled(NOT_KNOWN_NOW, says.not_known, width)
        warnings = [*warnings, *_cut(unknown, min(known, 2), width)]
    if says.last_known:
        warnings = [*warnings, *_cut(labelled(LAST_KNOWN, says.last_known, width), known, width)]
    expect = labelled(EXPECT, says.expect, width) if says.expect else []
    return warnings, wrap(says.do, width, "bold"), expect


def question_lines(
    view: JobView, answers: Sequence[Content], width: int, most: int, wait: float = 0.0
) -> Sequence[Content]:
    """All lines of a step with its answers. Where something was last known of it they are ``most``, if that can be:
    then what was last known gives way, and what is expected. What is asked, its warnings and its answers never do.
    """
    lines: Sequence[Content] = stack(*step_lines(view, width, wait=wait), answers)
    run = view.state.run
    step = view.flow.inspections[run.inspection].step(run.at) if run is not None else None
    if step is None or not (last_known.otherwise(view, step) or last_known.asked_of(view, step)):
        return lines
    for known, shown in ((KNOWN, True), (2, True), (KNOWN, False), (1, False)):
        warnings, do, expect = step_lines(view, width, wait=wait, known=known)
        lines = stack(warnings, do, expect if shown else [], answers)
        if len(packed(lines, most)) <= most:
            break
    return lines
