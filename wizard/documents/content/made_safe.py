"""What was said to be done to leave a stopped machine safe, and what the record has otherwise."""

from __future__ import annotations

from wizard.documents.text.formatting import sentence
from wizard.engine.queries import machine_queries
from wizard.engine.safety.flow_rules import LEFT_OUT_OF_USE
from wizard.engine.state import condition_words
from wizard.engine.state.condition_words import NOT_KNOWN
from wizard.engine.state.job_view import JobView


def act_words(why: str | None, sent_out: bool = False) -> str:
    """How a make-safe line stands: nobody looked whether a line that was ticked is so. ``sent_out``: its stop was never
    on screen, since another sent everybody outdoors.
    """
    if why is None and sent_out:
        return "not asked: everybody was sent outdoors first"
    return "open" if why is None else f"not done: {why}" if why else "said to be done"


def otherwise(view: JobView) -> tuple[str, ...]:
    """Sentences on what a machine out of use must be and the record doesn't have: otherwise, or never asked."""
    row = view.flow.reaches.get(LEFT_OUT_OF_USE)
    if row is None:
        return ()
    known, latched = machine_queries.belief(view), machine_queries.latched(view)
    stated = set(machine_queries.not_left_safe(view))
    missing = [*view.model.missing(known, row.needs), *machine_queries.left_otherwise(view)]
    missing = [c for c in known if c in missing and c not in latched]
    conditions = view.flow.conditions
    stands = {c: condition_words.words_of(conditions[c], known[c]) for c in missing if c in stated}
    other = "; ".join(f"{conditions[c].says}: {words}" for c, words in stands.items() if words != NOT_KNOWN)
    unknown = ", ".join(conditions[c].says for c, words in stands.items() if words == NOT_KNOWN)
    unasked = ", ".join(conditions[c].says for c in missing if c not in stated)
    return (
        *((f"By the record not as a machine is left out of use: {sentence(other)}",) if other else ()),
        *((f"No longer known: {unknown}.",) if unknown else ()),
        *((f"Nobody was asked about: {unasked}.",) if unasked else ()),
    )
