"""When something that ages is to be looked at again: by its age as it was measured, and the limit that judges it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from wizard.documents.content.concerns import dealt_with
from wizard.documents.content.measurements import Measured, measured
from wizard.documents.document_tree import BulletList, Evidence, ListItem, Section, Sentence, phrase, stated
from wizard.documents.text.formatting import sentence
from wizard.documents.text.limit_text import GOOD, edge, source, value
from wizard.domain.clock_times import moment
from wizard.domain.vocabulary import Verdict
from wizard.engine.measuring.judging import Judged
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Limit

YEARS = "years"
"""The unit of a limit that judges an age."""

_LAST_YEAR = 9000


def ages_section(view: JobView) -> Section | None:
    """Each age that still counts, how it stands, and about when its limit says otherwise; None where there is none.

    What was repaired or changed since has no age of now. A year is that of the reading plus what is left to the edge.
    """
    items = tuple(
        ListItem(tuple(_words(one, *found))) for one in measured(view) if (found := _found(view, one))
    )
    return Section("When to look again", (BulletList(items),)) if items else None


def _found(view: JobView, one: Measured) -> tuple[Limit, Judged, datetime] | None:
    """The limit of an age, the age, and when it was read; None for what is none, or was dealt with."""
    if one.limit is None or one.limit.unit != YEARS or one.last is None:
        return None
    given = _answer(view, one)
    read = moment(given.at) if given else None
    return (one.limit, one.last, read) if given and read and not dealt_with(view, given) else None


def _answer(view: JobView, one: Measured) -> AnswerRecord | None:
    """The answer that the age was judged by, the last one that counts."""
    mine = (g for g in reversed(view.state.answer_records) if g.inspection == one.inspection)
    return next((g for g in mine if g.step == one.step and not g.aside), None)


def _words(one: Measured, limit: Limit, age: Judged, read: datetime) -> Iterator[Sentence]:
    verdict = f", {GOOD[age.verdict]}" if age.verdict else ""
    yield phrase(f"{limit.says}: {value(age, one.unit)}{verdict}.", evidence=Evidence.MEASURED)
    for low, verdict_then in _edges_ahead(limit, age):
        year = _year(read, low - age.mean)
        yield stated(
            f"Over {edge(low, YEARS)}, from about {year} on, it is {GOOD[verdict_then]}.",
            evidence=Evidence.ADVICE,
        )
    yield stated(f"By: {sentence(source(limit))}", evidence=Evidence.ADVICE)


def _edges_ahead(limit: Limit, age: Judged) -> Iterator[tuple[float, Verdict]]:
    """Where it gets worse: the edges above the age (SI), each with the verdict beyond it."""
    for band, after in zip(limit.bands, limit.bands[1:], strict=False):
        if band.top is not None and band.top > age.mean and after.verdict is not band.verdict:
            yield band.top, after.verdict


def _year(read: datetime, seconds: float) -> int:
    """The year some time after a reading."""
    ahead = min(seconds, (_LAST_YEAR - read.year) * 31_556_952.0)
    return (read + timedelta(seconds=ahead)).year
