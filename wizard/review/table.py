"""The table of the customer's summary: what was measured before and after, and what it should be.

A row a limit, its worst value; what was good and has no pair is named in one sentence. The record has every value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.engine.judging import Judged
from wizard.engine.state import State
from wizard.flow.model import Flow, Limit
from wizard.review import words
from wizard.review.measured import Measured, measured, worst_of
from wizard.review.words import safe, sentence


@dataclass(frozen=True, slots=True)
class Row:
    """All values that one limit judges: the worst before and after the repair, of how many."""

    limit: Limit
    unit: str
    before: Judged | None
    after: Judged | None
    count: int

    @property
    def telling(self) -> bool:
        """True for what changed, what was not good, and what proves the repair."""
        verdicts = {j.verdict for j in (self.before, self.after) if j}
        return self.after is not None or verdicts != {"pass"}


def rows(found: Sequence[Measured]) -> tuple[Row, ...]:
    """A row for each limit that judged anything, in the order of the flow."""
    groups: dict[str, list[Measured]] = {}
    for m in found:
        if m.limit:
            groups.setdefault(m.limit.id, []).append(m)
    return tuple(_row_of(group) for group in groups.values())


def _row_of(group: Sequence[Measured]) -> Row:
    limit = group[0].limit
    assert limit is not None
    before = [m.before for m in group if m.before]
    after = [m.after for m in group if m.after]
    return Row(limit, group[0].unit, worst_of(before), worst_of(after), max(len(before), len(after)))


def measured_table(flow: Flow, state: State) -> list[str]:
    """What was measured, before and after, with what it should be and who says so."""
    found = rows(measured(flow, state))
    told = [r for r in found if r.telling]
    good = [r for r in found if not r.telling]
    if not found:
        return []
    blocks = [block for block in (_table(told), _also(good), _sources(told)) if block]
    return ["## What was measured", *(line for block in blocks for line in ("", *block))]


def _table(told: Sequence[Row]) -> list[str]:
    if not told:
        return []
    after = any(r.after for r in told)
    head = ["| What | Before | After | Should be |", "|---|---|---|---|"]
    if not after:
        head = ["| What | Measured | Should be |", "|---|---|---|"]
    return [*head, *(_line(r, after) for r in told)]


def _line(row: Row, after: bool) -> str:
    several = f" (worst of {row.count})" if row.count > 1 else ""
    cells = [f"{safe(row.limit.says)}{several}", _cell(row.before, row.unit)]
    cells += [_cell(row.after, row.unit)] if after else []
    cells.append(safe(words.good_range(row.limit)) or "no value is good")
    return f"| {' | '.join(cells)} |"


def _cell(judged: Judged | None, unit: str) -> str:
    if judged is None:
        return "not measured"
    verdict = f", {words.GOOD[judged.verdict]}" if judged.verdict else ""
    return f"{words.value(judged, unit)}{verdict}"


def _also(good: Sequence[Row]) -> list[str]:
    """What was good and needs no row."""
    said = [f"{safe(r.limit.says)}: {words.value(r.before, r.unit)}" for r in good if r.before]
    return [f"Also measured, and good: {'; '.join(said)}."] if said else []


def _sources(told: Sequence[Row]) -> list[str]:
    said = [f"- {safe(r.limit.says)}: {safe(sentence(words.source(r.limit)))}" for r in told]
    head = ["A value is the mean with its standard uncertainty. Where the limits come from:", ""]
    return [*head, *said] if said else []
