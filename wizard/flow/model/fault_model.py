"""The judging half of a flow: tools, limits and their bands, findings, faults and remedies, and stops."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.vocabulary import FaultSeverity, LimitStatus, Price, Verdict
from wizard.flow.declaring.declaration_fields import Bounds, Fit, KeySpec, OneOf, SizeLimit
from wizard.flow.declaring.key_values import (
    Applies,
    FactId,
    FaultId,
    Id,
    InUnit,
    Minutes,
    Needs,
    Number,
    Paragraph,
    Probability,
    ReachId,
    Recheck,
    Span,
    StepPath,
    Strength,
    Text,
    Unit,
)
from wizard.flow.model.common import APPLIES, LINE, TITLE, WIDTH, Caution, fits
from wizard.measure.uncertainty.grading import Curve

SO = "What is so after it: conditions, each with the values it may have."


@dataclass(frozen=True, slots=True)
class Tool:
    """A measuring tool: ``resolution`` and standard ``uncertainty`` in SI of the dimension of ``unit``."""

    id: Annotated[Id, KeySpec("The tool's id.")]
    says: Annotated[Text, KeySpec("Its name."), Fit(1, TITLE)]
    unit: Annotated[Unit, KeySpec("The unit it is read in, and of the two numbers here.")]
    resolution: Annotated[Span, KeySpec("The smallest step it shows.")]
    uncertainty: Annotated[Span, KeySpec("Its standard uncertainty.")]
    reach: Annotated[
        ReachId,
        KeySpec(
            "The least reach of a step that uses it. Required of a tool for volts, ohms, amperes or farads: its tips "
            "touch terminals."
        ),
    ] = ""


@dataclass(frozen=True, slots=True)
class Band:
    """One band of a limit, its upper edge in SI. It begins where the one before it ends."""

    id: Annotated[Id, KeySpec("The band's id.")]
    verdict: Annotated[Verdict, KeySpec("pass, watch or fail.")]
    below: Annotated[InUnit | None, KeySpec("Its upper edge, which belongs to the next band.")] = None
    up_to: Annotated[InUnit | None, KeySpec("Its upper edge, which belongs to it.")] = None
    source: Annotated[Text, KeySpec("Where its edge comes from, if not as the limit's."), Fit(3, WIDTH)] = ""
    typical: Annotated[
        Mapping[FaultSeverity, InUnit],
        KeySpec(
            "What is read where a fault is there that shows in this band: mild, moderate, severe, each further from "
            "the limit's usual. Then a reading speaks for the fault by how far it is off, not by its band."
        ),
    ] = field(default_factory=dict)

    @property
    def top(self) -> float | None:
        """The upper edge, SI; None for the last band."""
        return self.below if self.up_to is None else self.up_to

    @property
    def inclusive(self) -> bool:
        """True where the edge itself belongs to this band."""
        return self.up_to is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLimit:
    """The bands a reading is judged by, from a service sheet."""

    id: Annotated[
        Id, KeySpec("The limit's id. Several may share one: then exactly one must fit each machine.")
    ]
    says: Annotated[Text, KeySpec("What it is a limit of."), Fit(1, LINE)]
    unit: Annotated[Unit, KeySpec("The unit of its edges.")]
    source: Annotated[Text, KeySpec("Where it comes from."), Fit(3, WIDTH)]
    bands: Annotated[tuple[Band, ...], KeySpec("The bands, from the lowest up.", "band"), SizeLimit(2, 9)]
    applies: Annotated[Applies, KeySpec(APPLIES)] = field(default_factory=dict)


def _statuses() -> tuple[str, ...]:
    """Return where a flow's limits may come from: a service sheet is no part of it."""
    return tuple(status.value for status in LimitStatus if status is not LimitStatus.SHEET)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit(SheetLimit):
    """The bands a reading is judged by. ``unit`` is how people read the edges, which are SI."""

    status: Annotated[
        LimitStatus,
        OneOf(_statuses, "where a limit comes from"),
        KeySpec("P: published and read. P*: published, recalled. C: common practice. E: an estimate."),
    ]
    usual: Annotated[
        InUnit | None,
        KeySpec("What a healthy machine gives where this limit fits, in place of the step's usual reading."),
    ] = None
    scatter: Annotated[
        Span | None,
        KeySpec(
            "How far like machines differ in it, one standard deviation; asked for where a band has typical."
        ),
    ] = None

    def curve(self, band: Band, severity: Mapping[FaultSeverity, float]) -> Curve | None:
        """Return how readings are spread with a fault that shows in this band, and without; None where none is said."""
        if self.usual is None or not self.scatter or not band.typical:
            return None
        centres = (
            (band.typical[how], severity.get(how, 0.0)) for how in FaultSeverity if how in band.typical
        )
        return Curve(self.usual, self.scatter, tuple(centres))


@dataclass(frozen=True, slots=True)
class Finding:
    """A named fact that answers and verdicts establish or rule out.

    ``weights`` maps a fault to P(finding | that fault alone), leak left out; ``leak`` is P(finding | no fault).
    """

    id: Annotated[Id, KeySpec("The finding's id.")]
    says: Annotated[Text, KeySpec("The finding as a sentence."), Fit(1, LINE)]
    leak: Annotated[Probability, KeySpec("How likely it is to be seen with no fault at all.")]
    weights: Annotated[
        Mapping[FaultId, Probability],
        KeySpec("Faults, each with how likely it alone shows this, over all its severities."),
    ]
    applies: Annotated[Applies, KeySpec(APPLIES)] = field(default_factory=dict)
    strength: Annotated[
        Mapping[FaultSeverity, Strength],
        KeySpec("How strongly its faults show it when mild, moderate or severe, if not as the flow says."),
    ] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Part:
    """A part to fit."""

    id: Annotated[Id, KeySpec("The part's id.")]
    says: Annotated[Text, KeySpec("Its name."), Fit(1, LINE)]
    count: Annotated[int, KeySpec("How many make a set."), Bounds(1, 50)] = 1
    per: Annotated[FactId, KeySpec("The id of a fact whose value is the count.")] = ""
    optional: Annotated[
        bool,
        KeySpec(
            "True: the repair may be whole without it. An alternative that names it has it all the same."
        ),
    ] = False


@dataclass(frozen=True, slots=True)
class FoundAnswer:
    """An answer that shows what a way of repair is for."""

    step: Annotated[StepPath, KeySpec("The step that was answered.")]
    answer: Annotated[Id, KeySpec("Its answer.")]


@dataclass(frozen=True, slots=True)
class Alternative:
    """One of the ways in which a remedy may be carried out."""

    id: Annotated[Id, KeySpec("The alternative's id.")]
    says: Annotated[Text, KeySpec("What was done, in a line, as the papers print it."), Fit(1, LINE)]
    parts: Annotated[
        tuple[Id, ...], KeySpec("The ids of the remedy's parts that go in for it. Left out: none goes in.")
    ] = ()
    found: Annotated[
        tuple[FoundAnswer, ...],
        KeySpec(
            "Answers, one of which says that there was something to be done so: else a reason is asked. Left out: none "
            "is needed.",
            "found",
        ),
    ] = ()


@dataclass(frozen=True, slots=True)
class Approach:
    """Another way to the work of a remedy, on machines where it is reached otherwise."""

    id: Annotated[Id, KeySpec("The approach's id.")]
    step: Annotated[StepPath, KeySpec("The step that tells how the work is reached.")]
    answer: Annotated[Id, KeySpec("Its answer for this way.")]
    reach: Annotated[
        ReachId,
        KeySpec("Where the hands go then: what it needs is asked besides what the remedy's own reach needs."),
    ]


@dataclass(frozen=True, slots=True)
class Remedy:
    """What repairs a fault."""

    says: Annotated[Text, KeySpec("The remedy in a line."), Fit(1, LINE)]
    do: Annotated[
        tuple[Annotated[Paragraph, Fit(3, LINE)], ...], KeySpec("Its acts, one each."), SizeLimit(1)
    ]
    minutes: Annotated[Minutes, KeySpec("How long it takes, the test included.")]
    reach: Annotated[
        ReachId, KeySpec("Where the hands go: the id of a reach. It is done while that is allowed.")
    ]
    because: Annotated[
        Text,
        KeySpec("Why this reach is the right one, where the words might mislead.", "reach_because"),
        Fit(3, LINE),
    ] = ""
    needs: Annotated[
        Needs, KeySpec("What must be so besides what the reach needs: conditions, and values.")
    ] = field(default_factory=dict)
    may: Annotated[
        Needs, KeySpec("What may come of it: conditions, each with every value it may have after it.")
    ] = field(default_factory=dict)
    so: Annotated[Needs, KeySpec(f"Once it is fitted. {SO}")] = field(default_factory=dict)
    caution: Annotated[tuple[Caution, ...], KeySpec("Warnings that stand before it.")] = ()
    companions: Annotated[
        tuple[Annotated[Text, Fit(3, LINE)], ...], KeySpec("What to look at or replace along with it.")
    ] = ()
    parts: Annotated[tuple[Part, ...], KeySpec("The parts to fit.", "part")] = ()
    alternatives: Annotated[
        tuple[Alternative, ...],
        KeySpec(
            "Where it is one thing or another: each, to be chosen from when it was done. The papers print that one.",
            "alternative",
        ),
        SizeLimit(2, 5),
    ] = ()
    approaches: Annotated[
        tuple[Approach, ...],
        KeySpec(
            "Where the work is reached otherwise on some machines: each such way, known by an answer.",
            "approach",
        ),
    ] = ()
    recheck: Annotated[
        tuple[Recheck, ...],
        KeySpec(
            "Inspections or steps to measure again after it. Of a step, and of what is computed from it, the rest "
            "of its inspection is asked only where it is not well, or leaves something off."
        ),
    ] = ()
    price: Annotated[
        Price | None,
        KeySpec(
            "What it costs with parts and work, against a new machine, in a word: no money. Said with parts."
        ),
    ] = None
    worth: Annotated[Text, KeySpec("Is the repair usually worthwhile?"), Fit(3, WIDTH)] = ""
    worth_at: Annotated[
        Mapping[Id, Annotated[Text, Fit(3, WIDTH)]],
        KeySpec(
            "Ages, values of the fact that age names, each with what is said of its worth then, in place of that."
        ),
    ] = field(default_factory=dict)
    risk: Annotated[Text, KeySpec("Said to a customer who declines."), Fit(3, WIDTH)] = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """A cause."""

    id: Annotated[Id, KeySpec("The fault's id.")]
    says: Annotated[Text, KeySpec("The fault in the trade's words."), Fit(1, LINE)]
    plain: Annotated[Text, KeySpec("The sentence for the customer."), Fit(3, WIDTH)]
    share: Annotated[
        Mapping[Id, Number],
        KeySpec("Per kind of machine, percent of complaints. A kind left out can't have it."),
        SizeLimit(1),
    ]
    remedy: Annotated[Remedy, KeySpec("What repairs it.")]
    unless: Annotated[
        Mapping[FactId, tuple[Id, ...]],
        KeySpec("A machine of which all of these facts are so can't have it: facts, each with its values."),
    ] = field(default_factory=dict)
    severity: Annotated[
        Mapping[FaultSeverity, Probability],
        KeySpec(
            "How often it is mild, moderate or severe when it is complained of, if not as the flow says."
        ),
    ] = field(default_factory=dict)
    alone: Annotated[bool, KeySpec("True: never confirmed together with another.")] = False
    needs: Annotated[
        Needs,
        KeySpec("What may not be known to be otherwise where it is confirmed: conditions, and values."),
    ] = field(default_factory=dict)
    so: Annotated[Needs, KeySpec(f"Once it is confirmed. {SO}")] = field(default_factory=dict)
    hazard: Annotated[
        Text, KeySpec("What is dangerous about it, for who works on it: no customer reads it."), Fit(3, WIDTH)
    ] = ""
    missed: Annotated[
        Minutes | None,
        KeySpec(
            "What it costs where it is left behind, harm too, in minutes of work, if not the flow's second_visit."
        ),
    ] = None
    confirm: Annotated[
        tuple[StepPath, ...], KeySpec("One of these steps must have been answered before a part is fitted.")
    ] = ()

    def may_be(self, kind: str, facts: Mapping[str, str]) -> bool:
        """Whether a machine of this kind with these facts can have it."""
        return kind in self.share and not (self.unless and fits(self.unless, facts))


@dataclass(frozen=True, slots=True)
class Stop:
    """A reason to stop work."""

    id: Annotated[Id, KeySpec("The stop's id.")]
    says: Annotated[Text, KeySpec("The reason."), Fit(1, LINE)]
    call: Annotated[Text, KeySpec("Whom to call."), Fit(1, LINE)]
    make_safe: Annotated[
        tuple[Annotated[Text, Fit(2, LINE)], ...],
        KeySpec("How to leave the machine safe, one act each."),
        SizeLimit(1),
    ]
    outdoors: Annotated[
        bool,
        KeySpec("True where everybody leaves at once: no other stop's list is dealt with until its release."),
    ] = False
    so: Annotated[
        Needs, KeySpec("What is so from then on: conditions, each with the values it may have.")
    ] = field(default_factory=dict)
    again: Annotated[
        Needs,
        KeySpec(
            "What is asked anew on the next visit before any other work, where the question that led to it can't be: "
            "conditions, each with the values it must have. Required."
        ),
    ] = field(default_factory=dict)
    release: Annotated[
        Text,
        KeySpec("Who may say that it is over, and what is answered anew. Required where it sets a latch."),
        Fit(3, WIDTH),
    ] = ""
