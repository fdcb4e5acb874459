"""What keeps the repair from being proved, or the work from going on, in words for the map."""

from __future__ import annotations

import textwrap

from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state import queries
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.engine.state.machine_view import words_of


def standing_lines(rules: Rules, state: State, width: int, room: int) -> list[str]:
    """A sentence for each stop that was not cleared, and what keeps a proof from being made, in ``room`` lines."""
    known = queries.belief(JobView(rules, state))
    held = [rules.flow.conditions[c] for c in queries.latched(JobView(rules, state))]
    said = [f"{c.says}: {words_of(c, known[c.id] & c.latch)}." for c in held]
    if not said and (why := queries.proof_barred(JobView(rules, state))):
        said = [f"No proof now. {why}"]
    lines = [line for text in said for line in textwrap.wrap(text, width, subsequent_indent="  ")]
    return lines if len(lines) <= room else [*lines[: room - 1], "and more: i shows all"]
