"""What keeps the repair from being proved, or the work from going on, in words for the map."""

from __future__ import annotations

import textwrap

from wizard.engine.queries import machine_queries, proof_queries
from wizard.engine.queries.standing_stops import standing, unreleased
from wizard.engine.state.condition_words import words_of
from wizard.engine.state.job_view import JobView


def standing_lines(view: JobView, width: int, room: int) -> list[str]:
    """A sentence for each stop that was not cleared, and what keeps a proof from being made, in ``room`` lines."""
    known = machine_queries.belief(view)
    held = [view.flow.conditions[c] for c in machine_queries.latched(view)]
    words = [f"{c.says}: {words_of(c, known[c.id] & c.latch)}." for c in held]
    before = dict.fromkeys(
        h.stop for h in standing(view) if h.stop in view.flow.stops and not unreleased(view, h.stop)
    )
    words += [f"Stopped before: {view.flow.stops[stop].says}" for stop in before]
    if not words and (why := proof_queries.proof_barred(view)):
        words = [f"No proof now. {why}"]
    lines = [line for text in words for line in textwrap.wrap(text, width, subsequent_indent="  ")]
    return lines if len(lines) <= room else [*lines[: room - 1], "and more: i shows all"]
