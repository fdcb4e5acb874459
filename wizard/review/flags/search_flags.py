"""A flag on the search: ended with no fault before all of it was looked at."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.documents.content.search_coverage import none_found_early, search_coverage
from wizard.documents.text import formatting
from wizard.domain.vocabulary import InspectionResult, JobState
from wizard.engine.messages.events import Closed
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId

_STANDS = {
    InspectionResult.NOT_BEGUN: "not begun",
    InspectionResult.OPEN: "left in the middle",
    InspectionResult.SKIPPED: "left out",
    InspectionResult.UNABLE: "not done",
    InspectionResult.NOT_FITTED: "not fitted",
}


def search_open(look: FlagContext) -> Iterator[Flag]:
    """A visit closed with no fault, though not all of the search was looked at."""
    view = look.replay.end_view
    closes = [r.seq for r in look.replay.records if isinstance(r.event, Closed)]
    if view.state.job is not JobState.CLOSED or not none_found_early(view) or not closes:
        return
    seen = search_coverage(view)
    named = "; ".join(
        f"{i.title}: {'partly looked at, ' if i.id in seen.partly else ''}{_STANDS.get(result, result)}"
        for i, result in seen.unseen
    )
    yield look.flag(
        FlagId.SEARCH_OPEN,
        f"Closed with no fault found, and {seen.words}.",
        formatting.sentence(named),
        closes[-1],
    )
