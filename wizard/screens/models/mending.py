"""What the repair screen shows: where it may be done, cautions, acts, parts, companions, what follows."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.engine import derive
from wizard.engine.safety import holds
from wizard.engine.state import State
from wizard.flow.model import Caution, Fault, Flow, Inspection
from wizard.review import parts, words
from wizard.screens.fit import stack
from wizard.screens.prose import labelled, wrap
from wizard.screens.widgets.caution import caution_lines


def remedy_lines(flow: Flow, state: State, fault: Fault, width: int) -> list[Content]:
    """The whole remedy as lines: warnings first, then one act a line, parts, companions, and what must be measured."""
    remedy = fault.remedy
    cautions = [Caution(word, says) for word, says in remedy.caution]
    acts = [line for n, act in enumerate(remedy.do, 1) for line in numbered(n, act, width)]
    needed = parts.needed(remedy, state.facts)
    listed = labelled("Parts:", ", ".join(p.words for p in needed), width) if needed else []
    along = (
        labelled("Look at along with it:", " ".join(map(words.sentence, remedy.companions)), width)
        if remedy.companions
        else []
    )
    return stack(
        caution_lines(cautions, width),
        acts,
        [*listed, *along, *_after(flow, fault, width), *_worth(fault, width)],
    )


def numbered(number: int, act: str, width: int) -> list[Content]:
    """One act behind its number, running on under its words."""
    lead = f"{number:>2}. "
    lines = wrap(act, width - len(lead))
    return [Content(lead if n == 0 else " " * len(lead)).append(line) for n, line in enumerate(lines)]


def _after(flow: Flow, fault: Fault, width: int) -> Sequence[Content]:
    """What is owed and measured again once it is fitted."""
    owed = [flow.debts[d].says for d in fault.remedy.owe if d in flow.debts]
    again = dict.fromkeys(flow.inspections[w.partition(".")[0]].title for w in fault.remedy.recheck)
    debts = labelled("Owed then:", " ".join(map(words.sentence, owed)), width) if owed else []
    return [*debts, *(labelled("Measure again:", words.sentence(", ".join(again)), width) if again else [])]


def _worth(fault: Fault, width: int) -> Sequence[Content]:
    return labelled("Is it worth it?", fault.remedy.worth, width) if fault.remedy.worth else []


def may_work(flow: Flow, state: State, fault: Fault) -> bool:
    """True when the remedy may be done in the present safety state, and by those who are there."""
    here = holds(Inspection("", "", (), states=fault.remedy.states), derive.stance(state))
    return here and not lonely(state, fault)


def lonely(state: State, fault: Fault) -> bool:
    """True when the remedy takes two people and the second one is not named yet."""
    return derive.short_of_people(state, fault.remedy.people)


def place_words(fault: Fault) -> str:
    """In which safety state the work is done, by how many, and how long it takes: the line under the title."""
    states = " or ".join(words.SAFETY.get(s, s) for s in fault.remedy.states)
    anywhere = len(fault.remedy.states) > 4
    people = "two people" if fault.remedy.people > 1 else ""
    minutes = f"{fault.remedy.minutes:.0f} min"
    return ", ".join(x for x in ("" if anywhere else f"machine {states}", people, minutes) if x)
