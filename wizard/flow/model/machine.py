"""How the library, and a flow, write down the machine: its conditions, and what each reach of the hands needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.references import DrawingRef
from wizard.flow.declaring.declaration_fields import Fit, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import (
    Applies,
    ConditionId,
    Id,
    InspectionId,
    Needs,
    Paragraph,
    ReachId,
    StepPath,
    StopId,
    Text,
)
from wizard.flow.model.common import APPLIES, DRAWING, LINE, TITLE, WIDTH, Caution

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
    may_lack: Annotated[
        bool,
        KeySpec(
            "True, in the library: there are machines without it, and a flow of such may leave it out (without, in "
            "[flow])."
        ),
    ] = False


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


@dataclass(frozen=True, slots=True)
class ProcedureWords:
    """A procedure of the library in the flow's own words: what is left out stays as the library has it."""

    id: Annotated[InspectionId, KeySpec("The procedure's id.")]
    applies: Annotated[
        Applies,
        KeySpec(
            "For which machines of this flow, where the library's own is for none of them: it knows other kinds."
        ),
    ] = field(default_factory=dict)
    title: Annotated[Text, KeySpec("At most 40 columns."), Fit(1, TITLE)] = ""
    why: Annotated[Text, KeySpec("Why it is worth doing."), Fit(3, WIDTH)] = ""
    caution: Annotated[
        tuple[Caution, ...],
        KeySpec("Warnings that stand before all of it: none fewer, and none milder, than the library's."),
    ] = ()


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step of the library in the flow's own words: what it needs, may change and says stays the library's."""

    id: Annotated[StepPath, KeySpec("The step: procedure.step.")]
    do: Annotated[Paragraph, KeySpec("The action, at most 6 lines of 74 columns."), Fit(6, WIDTH)] = ""
    expect: Annotated[Paragraph, KeySpec("What to expect after it."), Fit(3, WIDTH)] = ""
    caution: Annotated[
        tuple[Caution, ...],
        KeySpec("Warnings that stand before the action: none fewer, and none milder, than the library's."),
    ] = ()
    drawing: Annotated[
        DrawingRef | None, DRAWING, KeySpec("A drawing's name, then : and the region that is lit.")
    ] = None
    closeup: Annotated[DrawingRef | None, DRAWING, KeySpec("A drawing of the part in hand.")] = None
    because: Annotated[
        Text,
        KeySpec("Why the library's reach is the right one, where the words might mislead.", "reach_because"),
        Fit(3, WIDTH),
    ] = ""
    answers: Annotated[
        Mapping[Id, Annotated[Text, Fit(1, LINE)]],
        KeySpec("Its answers, each as it is read.", "answer"),
    ] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ConditionWords:
    """A condition of the library in the flow's own words."""

    id: Annotated[ConditionId, KeySpec("The condition's id.")]
    says: Annotated[Text, KeySpec("What it is, as a noun."), Fit(1, LINE)] = ""
    values: Annotated[
        Mapping[Id, Annotated[Text, Fit(1, LINE)]], KeySpec("Values, each with how it is read.")
    ] = field(default_factory=dict)
    short: Annotated[
        Mapping[Id, Annotated[Text, Fit(1, 20)]],
        KeySpec("Values that have a badge, each with the words of it."),
    ] = field(default_factory=dict)
    handover: Annotated[
        Mapping[Id, Annotated[Text, Fit(1, LINE)]],
        KeySpec("Values that stand on the paper that is handed over, each in the customer's words."),
    ] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ReachWords:
    """A reach of the library in the flow's own words."""

    id: Annotated[ReachId, KeySpec("The reach's id.")]
    says: Annotated[Text, KeySpec("Where the hands go."), Fit(1, LINE)]


@dataclass(frozen=True, slots=True)
class StopWords:
    """A reason to stop work, of the library, in the flow's own words."""

    id: Annotated[StopId, KeySpec("The stop's id.")]
    says: Annotated[Text, KeySpec("The reason."), Fit(1, LINE)] = ""
    call: Annotated[Text, KeySpec("Whom to call."), Fit(1, LINE)] = ""
    make_safe: Annotated[
        tuple[Annotated[Text, Fit(2, LINE)], ...], KeySpec("How to leave the machine safe, one act each.")
    ] = ()
    release: Annotated[
        Text, KeySpec("Who may say that it is over, and what is answered anew."), Fit(3, WIDTH)
    ] = ""
