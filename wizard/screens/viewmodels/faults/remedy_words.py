"""What a repair says, as sentences: cautions, acts, parts, companions, what follows, what comes before it."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.documents.content import part_counts
from wizard.documents.text import formatting
from wizard.domain.vocabulary import Price
from wizard.engine.handlers.repair import repair_free
from wizard.engine.queries import machine_queries
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_reach, repair_ref, unasked_approach
from wizard.flow.model import Caution, Fault, Remedy
from wizard.flow.model.consent import talked_over, worth_words

NOT_YET = "What is done stands here once the machine is known to be ready for it."


@dataclass(frozen=True, slots=True)
class RemedyWords:
    """The acts in their order, none until the machine is ready for them; ``notes`` are labels with their texts."""

    cautions: tuple[Caution, ...]
    acts: tuple[str, ...]
    notes: tuple[tuple[str, str], ...]


def remedy_words(view: JobView, fault: Fault, ready: bool) -> RemedyWords:
    """The words of a repair. Until the machine is ``ready`` for it no act is shown: nobody is led to put hands in too
    early.
    """
    remedy, facts = fault.remedy, view.state.facts
    parts = ", ".join(p.words for p in part_counts.needed(remedy, facts))
    again = dict.fromkeys(view.flow.inspections[w.inspection].title for w in remedy.recheck)
    age = talked_over(view.flow, fault, facts)
    talk = "Tell the customer its price and the machine's age, and ask whether it is worth it to them."
    notes = (
        ("Parts:", parts),
        ("Look at along with it:", " ".join(map(formatting.sentence, remedy.companions))),
        ("Measure again:", formatting.sentence(", ".join(again)) if again else ""),
        ("Price, parts and work:", PRICES[remedy.price] if remedy.price else ""),
        ("Is it worth it?", worth_words(view.flow, fault, facts)),
        ("Talk it over first:", f"{age.says}. {talk}" if age else ""),
    )
    acts = tuple(remedy.do) if ready else ()
    return RemedyWords(tuple(remedy.caution), acts, tuple((label, text) for label, text in notes if text))


PRICES = {
    Price.LOW: "low: a small part of what a new machine costs.",
    Price.MIDDLE: "middle: up to a third of what a new machine costs (estimate).",
    Price.HIGH: "high: more than a third of what a new machine costs (estimate).",
}
"""A class of price in words: shops name their own prices, and no money stands in a flow."""


def may_work(view: JobView, fault: Fault) -> bool:
    """True when the repair was made ready: what its remedy needs holds."""
    return view.state.shown == (0, fault.id) or repair_free(view, repair_ref(view, fault.id))


def first_words(view: JobView, fault: Fault) -> str:
    """What comes before the work, as a sentence: what must be known of the machine first, or why it can't be had."""
    if unasked_approach(view, fault) is not None:
        return "First: how the work is reached."
    act = repair_ref(view, fault.id)
    if why := machine_queries.barred(view, act):
        return why
    missing = machine_queries.unmet(view, act)
    names = ", ".join(view.flow.conditions[c].says.lower() for c in missing[:3])
    more = f" and {len(missing) - 3} more" if len(missing) > 3 else ""
    return f"First: {names}{more}." if missing else "Get ready for the work."


def place_words(view: JobView, fault: Fault) -> str:
    """Where the hands go for it: the line under the fault; empty where nobody said yet how it is reached."""
    if unasked_approach(view, fault) is not None:
        return ""
    reach = view.flow.reaches.get(repair_reach(view, fault))
    return reach.says if reach else ""


def ways_done(remedy: Remedy) -> tuple[tuple[str, str], ...]:
    """How it may have been done: the id and words of each alternative of the remedy, or the remedy as it is."""
    whole = "Done as above, parts fitted" if remedy.parts else "Done as above"
    return tuple((a.id, f"Done: {a.says}") for a in remedy.alternatives) or (("", whole),)
