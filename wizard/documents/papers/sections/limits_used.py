"""The limits that judged anything, as they stood, and the service sheets used."""

from __future__ import annotations

from wizard.documents.document_tree import BulletList, ListItem, Section, phrase
from wizard.documents.text.formatting import sentence
from wizard.documents.text.limit_text import bands, source
from wizard.engine.measuring import judging
from wizard.engine.measuring.sheet_limits import sheet_limits
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Limit


def limits_used(view: JobView) -> Section | None:
    """The section; None where nothing was judged and no sheet was used."""
    items = [
        ListItem((phrase(f"{li.says}: {bands(li)}."), phrase(sentence(source(li))))) for li in _judging(view)
    ]
    items.extend(_sheets(view.state))
    return Section("Limits used", (BulletList(tuple(items)),)) if items else None


def _sheets(state: State) -> tuple[ListItem, ...]:
    """The service sheets; under the last of them the limits that they set together."""
    set_by = tuple(ListItem((phrase(f"{li.says}: {bands(li)}"),)) for li in sheet_limits(state))
    names = [phrase(f"Service sheet for {model or '-'}: {where}") for model, where, _limits in state.sheets]
    return tuple(ListItem((words,), set_by if n == len(names) else ()) for n, words in enumerate(names, 1))


def _judging(view: JobView) -> tuple[Limit, ...]:
    """The limits of the answers that count, each once."""
    used = {}
    for given in view.state.answer_records:
        inspection = view.flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection else None
        limit = judging.limit_of(view, step) if step else None
        if limit and not given.aside:
            used[limit.id] = limit
    return tuple(used.values())
