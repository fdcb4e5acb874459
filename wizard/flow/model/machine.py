"""How the library, and a flow, write down the machine: its conditions, and what each reach of the hands needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.flow.declaring.declaration_fields import Fit, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import Applies, Id, Needs, ReachId, Text
from wizard.flow.model.common import APPLIES, LINE

Values = Annotated[tuple[Id, ...], SizeLimit(1)]


@dataclass(frozen=True, slots=True)
class ConditionTable:
    """One condition of the machine: what of it matters for the hands, as a set of values it may have."""

    id: Annotated[Id, KeySpec("The condition's id.")]
    says: Annotated[Text, KeySpec("What it is, as a noun: Supply."), Fit(1, LINE)]
    values: Annotated[
        Mapping[Id, Annotated[Text, Fit(1, LINE)]],
        KeySpec("Its values, each with how it is read."),
        SizeLimit(2),
    ]
    alone: Annotated[
        Mapping[Id, Values],
        KeySpec("What each value may turn into while nobody attends. A value left out stays."),
    ] = field(default_factory=dict)
    rests_on: Annotated[
        Needs,
        KeySpec("It is believed only while each of these holds; else alone applies at once.", "while"),
    ] = field(default_factory=dict)
    latch: Annotated[
        tuple[Id, ...],
        KeySpec("Values that outlive everything but a release: set by an answer that stops work."),
    ] = ()
    applies: Annotated[Applies, KeySpec(APPLIES)] = field(default_factory=dict)
    short: Annotated[
        Mapping[Id, Annotated[Text, Fit(1, 20)]], KeySpec("Values, each with the words of its badge.")
    ] = field(default_factory=dict)
    urgent: Annotated[
        tuple[Id, ...],
        KeySpec(
            "Values whose words come first on the badge, behind those of power: what may fall, burn or move."
        ),
    ] = ()
    hands: Annotated[
        Mapping[Id, ReachId],
        KeySpec(
            "Values, each with the least reach of a step that needs it: where a cover is off, hands go in."
        ),
    ] = field(default_factory=dict)
    last: Annotated[
        bool,
        KeySpec("True, in the library: it is asked after the conditions of a flow's own, just before power."),
    ] = False
    passing: Annotated[
        bool,
        KeySpec(
            "True: what was said holds for the work that it was asked for. Once an inspection was done that doesn't "
            "need it, the next that does asks anew: whoever helped may have left."
        ),
    ] = False
    contradicted: Annotated[
        Id,
        KeySpec(
            "The reason to stop work (a stop's id) where an answer finds it otherwise than it was known, and "
            "nothing changed it: voltage where it was proved to be none."
        ),
    ] = ""
    handover: Annotated[
        Mapping[Id, Annotated[Text, Fit(1, LINE)]],
        KeySpec(
            "Values, each in the customer's words, for the paper that is handed over. Of one left out nothing is said."
        ),
    ] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ReachTable:
    """Where the hands go, and what must be so for that. A flow names one of the library's to ask for more."""

    id: Annotated[Id, KeySpec("The reach's id; in a flow, that of the library's which it strengthens.")]
    says: Annotated[Text, KeySpec("Where the hands go. Required in the library."), Fit(1, LINE)] = ""
    base: Annotated[ReachId, KeySpec("The reach whose needs it has too.", "from")] = ""
    needs: Annotated[
        Needs,
        KeySpec(
            "Conditions, each with the values it must have. A flow may add conditions, or allow fewer values."
        ),
    ] = field(default_factory=dict)
    may: Annotated[
        Needs,
        KeySpec("What any of its steps may change, whatever else it may: each must say so in its own may."),
    ] = field(default_factory=dict)
    begins: Annotated[
        Needs, KeySpec("What the first step of an inspection at this reach must need, besides the others.")
    ] = field(default_factory=dict)
    source: Annotated[Text, KeySpec("Where the needs come from. Required in the library.")] = ""
    warns: Annotated[
        bool, KeySpec("True: each of its steps, or its inspection, carries a danger, a warning or a caution.")
    ] = False
    verbs: Annotated[
        tuple[Annotated[Text, Fit(1, 20)], ...],
        KeySpec(
            "What may be done there: the only words that the sentences of its steps may begin with, besides those of "
            "the reach that it comes from. Left out: any."
        ),
    ] = ()
