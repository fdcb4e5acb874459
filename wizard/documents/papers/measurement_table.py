"""The table of the customer's handover: what was measured before and after, and what it should be.

A row a limit, its worst value; what was good and has no pair is named in one sentence. The record has every value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.documents.content.measurements import Measured, measured, worst_of
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Evidence,
    ListItem,
    Paragraph,
    Section,
    Sentence,
    Table,
    phrase,
)
from wizard.documents.text.formatting import sentence
from wizard.documents.text.limit_text import GOOD, good_range, source, value
from wizard.domain.vocabulary import Verdict
from wizard.engine.measuring.judging import Judged
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Limit


@dataclass(frozen=True, slots=True)
class LimitRow:
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
        return self.after is not None or verdicts != {Verdict.PASS}


def rows(found: Sequence[Measured]) -> tuple[LimitRow, ...]:
    """A row for each limit that judged anything, in the order of the flow."""
    groups: dict[str, list[Measured]] = {}
    for m in found:
        if m.limit:
            groups.setdefault(m.limit.id, []).append(m)
    return tuple(_row_of(group) for group in groups.values())


def _row_of(group: Sequence[Measured]) -> LimitRow:
    limit = group[0].limit
    assert limit is not None
    before = [m.before for m in group if m.before]
    after = [m.after for m in group if m.after]
    return LimitRow(limit, group[0].unit, worst_of(before), worst_of(after), max(len(before), len(after)))


def measurement_section(view: JobView) -> Section | None:
    """What was measured, before and after, with what it should be and who says so; None where nothing was."""
    found = rows(measured(view))
    telling = [r for r in found if r.telling]
    good = [r for r in found if not r.telling]
    blocks: tuple[Block, ...] = (*_table(telling), *_also(good), *_sources(telling))
    return Section("What was measured", blocks) if found else None


def _table(telling: Sequence[LimitRow]) -> tuple[Table, ...]:
    if not telling:
        return ()
    after = any(r.after for r in telling)
    head = ("What", "Before", "After", "Should be") if after else ("What", "Measured", "Should be")
    return (Table(head, tuple(_cells(r, after) for r in telling)),)


def _cells(row: LimitRow, after: bool) -> tuple[Sentence, ...]:
    several = f" (worst of {row.count})" if row.count > 1 else ""
    values = (row.before, row.after) if after else (row.before,)
    return (
        phrase(f"{row.limit.says}{several}"),
        *(_cell(judged, row.unit) for judged in values),
        phrase(good_range(row.limit) or "no value is good"),
    )


def _cell(judged: Judged | None, unit: str) -> Sentence:
    if judged is None:
        return phrase("not measured", evidence=Evidence.NOT_LOOKED_AT)
    verdict = f", {GOOD[judged.verdict]}" if judged.verdict else ""
    return phrase(f"{value(judged, unit)}{verdict}", evidence=Evidence.MEASURED)


def _also(good: Sequence[LimitRow]) -> tuple[Paragraph, ...]:
    """What was good and needs no row."""
    said = [f"{r.limit.says}: {value(r.before, r.unit)}" for r in good if r.before]
    text = phrase(f"Also measured, and good: {'; '.join(said)}.", evidence=Evidence.MEASURED)
    return (Paragraph((text,)),) if said else ()


def _sources(telling: Sequence[LimitRow]) -> tuple[Block, ...]:
    if not telling:
        return ()
    lead = ("A value is the mean with its standard uncertainty.", "Where the limits come from:")
    items = (ListItem((phrase(f"{r.limit.says}: {sentence(source(r.limit))}"),)) for r in telling)
    return (Paragraph(tuple(phrase(said) for said in lead)), BulletList(tuple(items)))
