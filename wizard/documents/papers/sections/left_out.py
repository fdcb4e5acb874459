"""What was passed over, with the reason."""

from __future__ import annotations

from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.document_tree import Evidence, KeyValue, KeyValues, Section, stated
from wizard.documents.text.formatting import sentence
from wizard.documents.text.outcome_text import HOWS
from wizard.domain.vocabulary import SkipHow
from wizard.engine.state.job_view import JobView

LATER = " What it asks was asked later, for other work."
"""What stands behind the reason where every step was asked for others all the same."""


def left_out(view: JobView) -> Section | None:
    """Each inspection, or measuring again, that was left out; None where all was done. What of the search stands under
    'Not looked at' is not said twice.
    """
    coverage = search_coverage(view)
    noted = {i.id for i, _ in coverage.unseen} if view.state.decided is not None else set()
    after_all = {i.id for i in coverage.looked}
    left = ((where, *words) for where, words in view.state.skipped.items() if where not in noted)
    skipped = (
        (view.flow.title_of(where), how, f"{sentence(reason)}{LATER if where in after_all else ''}")
        for where, how, reason in left
    )
    again = (
        (f"{view.flow.title_of(target.inspection)}, measuring again", SkipHow.SKIPPED, reason)
        for target, reason in view.state.unmeasured.items()
    )
    pairs = tuple(
        KeyValue(what, stated(f"{HOWS.get(how, how)}: {sentence(reason)}", evidence=Evidence.NOT_LOOKED_AT))
        for what, how, reason in (*skipped, *again)
    )
    return Section("Left out", (KeyValues(pairs),)) if pairs else None
