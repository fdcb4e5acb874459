"""The table of the customer's handover: what was measured before and after, and what it should be.

A row a limit, its worst value; what was good and has no pair is named in one sentence. The record has every value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.documents.content.measurements import Measured, measured, worst_of
from wizard.documents.content.partial_readings import partial_readings
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Evidence,
    ListItem,
    Paragraph,
    Section,
    Sentence,
    Table,
    stated,
)
from wizard.documents.text.formatting import sentence
from wizard.documents.text.limit_text import GOOD, TOO_COARSE, good_range, source, too_coarse, value
from wizard.domain.vocabulary import Verdict
from wizard.engine.measuring.judging import Judged
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Limit


@dataclass(frozen=True, slots=True)
class LimitRow:
    """All values that one limit judges: the worst before and after the repair, of how many readings.

    ``failed_before`` and ``failed_after``: the worst of what failed there and was read again later. ``stale``: the one
    after the repair is older than the last repair.
    """

    limit: Limit
    unit: str
    before: Judged | None
    after: Judged | None
    count: int
    failed_before: Judged | None = None
    failed_after: Judged | None = None
    stale: bool = False

    @property
    def telling(self) -> bool:
        """True for what changed, what was not good, and what proves the repair."""
        values = (self.before, self.after, self.failed_before, self.failed_after)
        return self.after is not None or {j.verdict for j in values if j} != {Verdict.PASS}


NOT_READ_SINCE = "read before the last repair, and not again"
"""What is said of a reading that another repair came after."""


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
    # What is computed from a reading is no second one.
    read = [m for m in group if m.tool] or group
    count = max(sum(m.before is not None for m in read), sum(m.after is not None for m in read))
    after = worst_of([m.after for m in group if m.after], limit)
    return LimitRow(
        limit,
        group[0].unit,
        worst_of([m.before for m in group if m.before], limit),
        after,
        count,
        worst_of([j for m in group for j in m.failed_before], limit),
        worst_of([j for m in group for j in m.failed_after], limit),
        any(m.stale for m in group if after is not None and m.after is after),
    )


def measurement_section(view: JobView) -> Section | None:
    """What was measured, before and after, with what it should be and who says so; None where nothing was."""
    found = rows(measured(view))
    telling = [r for r in found if r.telling]
    good = [r for r in found if not r.telling]
    blocks: tuple[Block, ...] = (*_table(telling), *_also(good), *_partial(view), *_sources(telling))
    return Section("What was measured", blocks) if blocks else None


def _partial(view: JobView) -> tuple[Block, ...]:
    """What was begun to be read and not read to its end."""
    lines = tuple(f"{one.says}: {sentence(one.words)}" for one in partial_readings(view))
    items = tuple(ListItem((stated(words, evidence=Evidence.NOT_LOOKED_AT),)) for words in lines)
    lead = Paragraph((stated("Not all of it was read:", evidence=Evidence.NOT_LOOKED_AT),))
    return (lead, BulletList(items)) if items else ()


def _table(telling: Sequence[LimitRow]) -> tuple[Table, ...]:
    if not telling:
        return ()
    after = any(r.after or r.failed_after for r in telling)
    head = ("What", "Before", "After", "Should be") if after else ("What", "Measured", "Should be")
    return (Table(head, tuple(cells(r, after) for r in telling)),)


def cells(row: LimitRow, after: bool) -> tuple[Sentence, ...]:
    """The row in words: what, before, after unless nothing was measured ``after`` a repair, and what it should be."""
    several = f" (worst of {row.count})" if row.count > 1 else ""
    values = ((row.failed_before, row.before, False), (row.failed_after, row.after, row.stale))
    return (
        stated(f"{row.limit.says}{several}", evidence=Evidence.MEASURED),
        *(_cell(failed, judged, row, stale) for failed, judged, stale in (values if after else values[:1])),
        stated(good_range(row.limit) or "no value is good", evidence=Evidence.ADVICE),
    )


def _cell(failed: Judged | None, judged: Judged | None, row: LimitRow, stale: bool) -> Sentence:
    """The value, behind it what it was read as again where it failed first: a fail stays on the paper."""
    if judged is None and failed is None:
        return stated("not measured", evidence=Evidence.NOT_LOOKED_AT)
    lines = [_judged(one, row) for one in (failed, judged) if one is not None]
    since = f"; {NOT_READ_SINCE}" if stale else ""
    return stated("; read again later: ".join(lines) + since, evidence=Evidence.MEASURED)


def _judged(judged: Judged, row: LimitRow) -> str:
    """The value and what its limit says of it; where no value could be good, that it was read too coarsely."""
    coarse = f" ({TOO_COARSE})" if too_coarse(row.limit, judged) else ""
    return f"{value(judged, row.unit)}{f', {GOOD[judged.verdict]}' if judged.verdict else ''}{coarse}"


def _also(good: Sequence[LimitRow]) -> tuple[Paragraph, ...]:
    """What was good and needs no row."""
    lines = [f"{r.limit.says}: {value(r.before, r.unit)}" for r in good if r.before]
    text = stated(f"Also measured, and good: {'; '.join(lines)}.", evidence=Evidence.MEASURED)
    return (Paragraph((text,)),) if lines else ()


def _sources(telling: Sequence[LimitRow]) -> tuple[Block, ...]:
    if not telling:
        return ()
    means = "A value stands with its standard uncertainty; of several readings of one place it is their mean."
    lead = (means, "Where the limits come from:")
    items = (ListItem((_flows(f"{r.limit.says}: {sentence(source(r.limit))}"),)) for r in telling)
    return (Paragraph(tuple(_flows(lines) for lines in lead)), BulletList(tuple(items)))


def _flows(words: str) -> Sentence:
    """What is the flow's, and of no machine."""
    return stated(words, evidence=Evidence.ADVICE)
