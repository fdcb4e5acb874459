"""The words of a step as lines: its cautions, what to do, what to expect."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.engine.state import last_known
from wizard.engine.state.job_view import JobView
from wizard.engine.state.waiting import wait_words
from wizard.flow.model import Caution, Inspection, Step
from wizard.screens.text.answer_numbering import GRAVE
from wizard.screens.text.caution_text import caution_lines
from wizard.screens.text.unit_text import beside
from wizard.screens.text.wrapping import wrapped


def cautions_of(inspection: Inspection, step: Step, first: bool) -> tuple[Caution, ...]:
    """What to be warned of at a step: its own cautions, the inspection's grave ones, and at its start all of them."""
    general = [c for c in inspection.caution if first or c.word in GRAVE]
    return (*step.caution, *(c for c in general if c not in step.caution))


def wrap(text: str, width: int, style: str = "") -> list[Content]:
    """A text as lines of a width."""
    return [Content.styled(line, style) for line in wrapped(text, width)]


def labelled(label: str, text: str, width: int) -> list[Content]:
    """A text with a label before it, running on under the label."""
    lines = wrapped(f"{label} {text}", width)
    return [Content(line).stylize("$primary", 0, len(label) if n == 0 else 0) for n, line in enumerate(lines)]


def step_lines(
    view: JobView, width: int, system: str = "", wait: float = 0.0
) -> tuple[Sequence[Content], Sequence[Content], Sequence[Content]]:
    """Warnings, what to do, what to expect; each a block of lines.

    ``wait``: seconds left until it may be answered. ``system``: the units on screen where they aren't the step's own;
    each measure then has its value in them behind.
    """
    run = view.state.run
    assert run is not None
    inspection = view.flow.inspections[run.inspection]
    step = inspection.step(run.at)
    assert step is not None
    first = not view.state.answers(run.id)
    warnings = caution_lines(cautions_of(inspection, step, first), width)
    if wait:
        warnings = [
            *warnings,
            *labelled("Wait:", f"{wait_words(wait)} more. Until then nothing is taken here.", width),
        ]
    before = "; ".join(last_known.words(view, x) for x in last_known.otherwise(view, step))
    if before:
        warnings = [*warnings, *labelled("Last known:", before, width)]
    expect = labelled("Expect:", beside(step.expect, system), width) if step.expect else []
    return warnings, wrap(beside(step.do, system), width, "bold"), expect
