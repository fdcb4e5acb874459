"""What the repair screen shows: what it needs, cautions, acts, parts, companions, what follows."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.documents.content import part_counts
from wizard.documents.text import formatting
from wizard.domain.vocabulary import Price
from wizard.engine.handlers.repair import repair_free
from wizard.engine.queries import machine_queries
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_reach, repair_ref, unasked_approach
from wizard.flow.model import Fault, Flow, Remedy
from wizard.flow.model.consent import talked_over, worth_words
from wizard.screens.text.caution_text import caution_lines
from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import labelled, wrap

NOT_YET = "What is done stands here once the machine is known to be ready for it."


def remedy_lines(view: JobView, fault: Fault, width: int, ready: bool) -> list[Content]:
    """The remedy as lines: warnings first, then one act a line, parts, companions, and what must be measured.

    Until the machine is ``ready`` for it no act is shown: nobody is led to put hands in too early.
    """
    remedy = fault.remedy
    acts = [line for n, act in enumerate(remedy.do, 1) for line in numbered(n, act, width)]
    if not ready:
        acts = wrap(NOT_YET, width)
    needed = part_counts.needed(remedy, view.state.facts)
    listed = labelled("Parts:", ", ".join(p.words for p in needed), width) if needed else []
    along = (
        labelled("Look at along with it:", " ".join(map(formatting.sentence, remedy.companions)), width)
        if remedy.companions
        else []
    )
    return stack(
        caution_lines(remedy.caution, width),
        acts,
        [*listed, *along, *_after(view.flow, fault, width), *_worth(view, fault, width)],
    )


PRICES = {
    Price.LOW: "low: a small part of what a new machine costs.",
    Price.MIDDLE: "middle: up to a third of what a new machine costs (estimate).",
    Price.HIGH: "high: more than a third of what a new machine costs (estimate).",
}
"""A class of price in words: shops name their own prices, and no money stands in a flow."""


def numbered(number: int, act: str, width: int) -> list[Content]:
    """One act behind its number, running on under its words."""
    lead = f"{number:>2}. "
    lines = wrap(act, width - len(lead))
    return [Content(lead if n == 0 else " " * len(lead)).append(line) for n, line in enumerate(lines)]


def _after(flow: Flow, fault: Fault, width: int) -> Sequence[Content]:
    """What is measured again once it is fitted."""
    again = dict.fromkeys(flow.inspections[w.inspection].title for w in fault.remedy.recheck)
    return labelled("Measure again:", formatting.sentence(", ".join(again)), width) if again else []


def _worth(view: JobView, fault: Fault, width: int) -> Sequence[Content]:
    """What it costs in a word, whether it is worth it, and whether that is talked over with the customer first."""
    remedy, age = fault.remedy, talked_over(view.flow, fault, view.state.facts)
    price = labelled("Price, parts and work:", PRICES[remedy.price], width) if remedy.price else []
    phrase = worth_words(view.flow, fault, view.state.facts)
    worth = labelled("Is it worth it?", phrase, width) if phrase else []
    talk = "Tell the customer its price and the machine's age, and ask whether it is worth it to them."
    first = labelled("Talk it over first:", f"{age.says}. {talk}", width) if age else []
    return [*price, *worth, *first]


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
