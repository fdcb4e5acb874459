"""What the repair screen shows: cautions, acts, parts, companions, what follows."""

from __future__ import annotations

from textual.content import Content

from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault
from wizard.screens.text.caution_text import caution_lines
from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import labelled, wrap
from wizard.screens.viewmodels.faults.remedy_words import NOT_YET, remedy_words


def remedy_lines(view: JobView, fault: Fault, width: int, ready: bool) -> list[Content]:
    """The remedy as lines: warnings first, then one act a line, parts, companions, and what must be measured."""
    words = remedy_words(view, fault, ready)
    acts = [line for n, act in enumerate(words.acts, 1) for line in numbered(n, act, width)]
    notes = [line for label, text in words.notes for line in labelled(label, text, width)]
    return stack(caution_lines(words.cautions, width), acts if ready else wrap(NOT_YET, width), notes)


def numbered(number: int, act: str, width: int) -> list[Content]:
    """One act behind its number, running on under its words."""
    lead = f"{number:>2}. "
    lines = wrap(act, width - len(lead))
    return [Content(lead if n == 0 else " " * len(lead)).append(line) for n, line in enumerate(lines)]
