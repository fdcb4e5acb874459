"""What hands did to the machine that a fact would make nobody ask for any more: a tub that is tied, a filter that is
open. It is put back before that fact is taken, whoever did it and on which visit: what a machine of another kind hasn't
got would stand nowhere, and still be tied.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.domain.references import StepRef
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.queries import inspection_queries
from wizard.engine.state.condition_words import words_of
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_ref
from wizard.flow.model import fits
from wizard.flow.model.acts import step_needs


def put_back_first(view: JobView, fact: str, value: str) -> str:
    """Why a fact can't have this value yet, as sentences: something that only the machine as it is known now has isn't
    as a machine in use has it. Empty where it can, and for a value that stops work: that is never held up.
    """
    asked = view.flow.fact(fact)
    chosen = asked.value(value) if asked is not None else None
    if chosen is not None and chosen.stop:
        return ""
    after = _facts_after(view, fact, value)
    owed = [name for name in _forgotten(view, fact, after) if _not_back(view, name)]
    if not owed:
        return ""
    what = "; ".join(f"{view.flow.conditions[c].says}: {_words(view, c)}" for c in owed)
    where = _asked_in(view, owed[0])
    opened = f"Open '{where}': it is asked for there. " if where else ""
    return f"This was changed by hand and is put back first. {what}. {opened}Then put this right."


def _facts_after(view: JobView, fact: str, value: str) -> Mapping[str, str]:
    after = {**view.state.facts, fact: value}
    while gone := [f.id for f in view.flow.facts if f.id in after and not fits(f.applies, after)]:
        after = {known: stated for known, stated in after.items() if known not in gone}
    return after


def _forgotten(view: JobView, fact: str, after: Mapping[str, str]) -> Iterator[str]:
    """The conditions that a machine in use has at rest, which this machine has, or may have while the fact isn't known,
    and the one with these facts has not.
    """
    before = view.state.facts
    for name in view.rules.restored:
        condition = view.flow.conditions[name]
        here = fits(condition.applies, before) or (fact in condition.applies and fact not in before)
        if here and not fits(condition.applies, after):
            yield name


def _not_back(view: JobView, name: str) -> bool:
    """Whether a condition was told last to be otherwise than at rest, or work that makes it so was begun since. Less
    that became known of it meanwhile puts nothing back.
    """
    rest = view.rules.restored[name]
    told = next(
        (c for c in reversed(view.state.changes) if name in c.belief and c.event is not EventKind.WIDENED),
        None,
    )
    since = told.seq if told is not None else 0
    return (told is not None and not told.belief[name] <= rest) or _begun(view, name, rest) > since


def _begun(view: JobView, name: str, rest: frozenset[str]) -> int:
    """The event at which work was last shown that makes a condition otherwise than at rest; 0 where none was."""
    by_id, latest = {act.id: act for act in view.rules.acts}, 0
    for (inspection, step), seq in view.state.shown_seqs.items():
        act = by_id.get(StepRef(inspection, step) if inspection else repair_ref(view, step))
        if act is not None and act.may.get(name, rest) - rest:
            latest = max(latest, seq)
    return latest


def _words(view: JobView, name: str) -> str:
    """'tied'; 'may be open, or not seen to be shut' where nobody knows it for sure."""
    condition, rest = view.flow.conditions[name], view.rules.restored[name]
    known = view.belief.get(name) or frozenset(condition.values)
    words = words_of(condition, (known - rest) or frozenset(condition.values) - rest)
    return f"may be {words}" if known & rest else words


def _asked_in(view: JobView, name: str) -> str:
    """The title of the first inspection of this machine that needs a condition at rest; empty where none does."""
    rest, flow = view.rules.restored[name], view.flow
    for inspection in (flow.inspections[i] for i in (*flow.find, *flow.prove, flow.handover)):
        needs = (step_needs(flow, step).get(name) for step in inspection.steps)
        if inspection_queries.applies(view, inspection) and any(n is not None and n <= rest for n in needs):
            return inspection.title
    return ""
