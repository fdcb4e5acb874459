"""The table of the customer's summary: what was measured before and after, and what it should be."""

from __future__ import annotations

from collections.abc import Sequence

from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.review import words
from wizard.review.measured import Measured, measured
from wizard.review.words import safe, sentence


def measured_table(flow: Flow, state: State) -> list[str]:
    """What was measured, before and after, with what it should be and who says so."""
    rows = measured(flow, state)
    if not rows:
        return []
    after = any(m.after for m in rows)
    head = ["| What | Before | After | Should be |", "|---|---|---|---|"]
    if not after:
        head = ["| What | Measured | Should be |", "|---|---|---|"]
    lines = [_row(m, after) for m in rows]
    return ["## What was measured", "", *head, *lines, "", *_sources(rows)]


def _row(m: Measured, after: bool) -> str:
    name = f"{m.title}: {m.name}" if m.name else m.title
    what = f"{name} ({m.limit.says})" if m.limit else name
    cells = [safe(what), _cell(m, "before")] + ([_cell(m, "after")] if after else [])
    cells.append(safe(words.good_range(m.limit)) if m.limit else "no limit")
    return f"| {' | '.join(cells)} |"


def _cell(m: Measured, phase: str) -> str:
    judged = m.before if phase == "before" else m.after
    if judged is None:
        return "not measured"
    verdict = f", {words.GOOD[judged.verdict]}" if judged.verdict else ""
    return f"{words.value(judged, m.unit)}{verdict}"


def _sources(rows: Sequence[Measured]) -> list[str]:
    said = dict.fromkeys(
        f"- {safe(m.limit.says)}: {safe(sentence(words.source(m.limit)))}" for m in rows if m.limit
    )
    head = ["A value is the mean with its standard uncertainty. Where the limits come from:", ""]
    return [*head, *said] if said else []
