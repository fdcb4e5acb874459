"""The two or three numbers that tell most of a job, before and after the repair, each on the ruler of its limit."""

from __future__ import annotations

from collections.abc import Sequence

from wizard.documents.charts.limit_ruler import limit_ruler
from wizard.documents.charts.pictured_ruler import Leads, ruler_picture
from wizard.documents.content.measurements import measured
from wizard.documents.document_tree import (
    Evidence,
    Figure,
    KeyValue,
    KeyValues,
    Paragraph,
    stated,
)
from wizard.documents.papers.sections.measurement_table import LimitRow, cells, rows
from wizard.documents.report.report_tree import PagePart, PicturedNumber
from wizard.documents.text.limit_text import STATUSES
from wizard.domain.vocabulary import Verdict
from wizard.engine.measuring.judging import Judged
from wizard.engine.state.job_view import JobView

MOST, LEAST = 3, 2
"""How many numbers stand on a customer's page: more than the least only of what failed and was measured again."""

_COLUMNS = 64
_REPAIRED = "The hollow ring is the reading before the repair, the filled diamond the one after it."
_AS_FOUND = "The hollow ring is the reading."
_ARMS = (
    "The line through it is twice its uncertainty to both sides. The annex says where each limit comes from."
)


def numbers_part(view: JobView) -> PagePart | None:
    """The part of the page; None where nothing was judged by a limit."""
    chosen = telling_rows(rows(measured(view)))
    if not chosen:
        return None
    after = any(r.after or r.failed_after for r in chosen)
    key = Paragraph(
        tuple(stated(s, evidence=Evidence.ADVICE) for s in (_REPAIRED if after else _AS_FOUND, _ARMS))
    )
    return PagePart("In numbers", (*(_pictured(r, after) for r in chosen), key))


def telling_rows(found: Sequence[LimitRow]) -> tuple[LimitRow, ...]:
    """What failed and was measured again; else also what failed, what is watched, and what is least surely good."""
    ranked = sorted(found, key=_rank)
    best = [r for r in ranked if _rank(r)[0] == 0]
    return tuple(best[:MOST] if len(best) >= LEAST else ranked[:LEAST])


def _rank(row: LimitRow) -> tuple[int, float]:
    """The telling ones first; of those that are alike what is least likely to be good."""
    values = [j for j in (row.failed_before, row.before, row.failed_after, row.after) if j]
    failed = any(j.verdict is Verdict.FAIL for j in values)
    watched = any(j.verdict is Verdict.WATCH for j in values)
    pair = (row.before or row.failed_before) is not None and (row.after or row.failed_after) is not None
    group = (0 if pair else 1) if failed else (2 if pair else 3) if watched else 4
    return group, min(_good(row, j) for j in values)


def _good(row: LimitRow, judged: Judged) -> float:
    """How likely a value passes, 0 to 1."""
    chances = judged.chances or {}
    return sum(chances.get(b.id, 0.0) for b in row.limit.bands if b.verdict is Verdict.PASS)


def _pictured(row: LimitRow, after: bool) -> PicturedNumber:
    what, *values, due = cells(row, after)
    rests = stated(f"{due.spans[0].text} ({STATUSES[row.limit.status]})", evidence=Evidence.ADVICE)
    heads = ("Before", "After", "Should be") if after else ("Measured", "Should be")
    pairs = tuple(KeyValue(head, value) for head, value in zip(heads, (*values, rests), strict=True))
    before = [j for j in (row.failed_before, row.before) if j]
    later = [j for j in (row.after or row.failed_after,) if j]
    leads = Leads("before: ", "after: ") if after else Leads()
    picture = ruler_picture(row.limit, before, later, row.unit, leads)
    chart, plain = (
        limit_ruler(row.limit, (*before, *later), row.unit, _COLUMNS, ascii_only)
        for ascii_only in (False, True)
    )
    return PicturedNumber(Figure((what,), chart, plain, picture), KeyValues(pairs))
