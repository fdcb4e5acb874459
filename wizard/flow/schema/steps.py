"""The schema of an inspection file: the inspection and its steps."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from wizard.flow.calculators import CALCULATORS
from wizard.flow.problems import nearest
from wizard.flow.schema.base import (
    APPLIES,
    BAR,
    LIFT,
    NONE,
    OWE,
    PAY,
    Aid,
    Applies,
    Caution,
    Ended,
    Gate,
    Id,
    Minutes,
    Number,
    Paragraph,
    People,
    State,
    StepPath,
    Table,
    Text,
    Unit,
    Verdict,
    Weight,
)

NEXT = "Where this leads: the id of a step here, or end. Left out: as the step says."
VOIDS = (
    "Safety states that this ends. After proved-dead the machine is still isolated; after any other it is covered, and "
    "isolated takes proved-dead and wet with it."
)
Target = Annotated[str, Field(pattern="^[a-z0-9-]+$")]
Destination = Annotated[str, Field(pattern="^(stop:)?[a-z0-9-]+$")]


def _calculator(value: str) -> str:
    """Return the name of a known calculator."""
    if value not in CALCULATORS:
        there = nearest(value, CALCULATORS) or f" There are {', '.join(CALCULATORS)}"
        raise ValueError(f'"{value}" is not a calculator.{there}')
    return value


GOOD = (
    "Only in a gate: true for an answer that is not the usual one, but as safe, and so may lead on to the state. "
    "Every other answer goes back to its step or stops work."
)


KEPT = (
    "True where this answer pays a debt that keeps the machine isolated, and the machine stays so: the plug is left "
    "out, the taps are left off."
)


ALONE = (
    "True where this answer says that nobody helps: whoever was named no longer counts, and work for two asks again "
    "who helps."
)


class Outcome(Table):
    """What an answer or a verdict brings about."""

    next: Target = Field(default="", description=NEXT)
    finds: dict[Id, Weight] = Field(default={}, description="Findings it establishes, each with its weight.")
    rules_out: dict[Id, Weight] = Field(
        default={}, description="Findings it rules out, each with its weight."
    )
    bar: list[Id] = Field(default=NONE, description=BAR)
    lift: list[Id] = Field(default=NONE, description=LIFT)
    owe: list[Id] = Field(default=NONE, description=OWE)
    pay: list[Id] = Field(default=NONE, description=PAY)
    voids: list[Ended] = Field(default=NONE, description=VOIDS)
    stop: Id = Field(default="", description="The id of a stop: this answer stops work.")
    most: int = Field(default=0, ge=0, le=20, description="How often next is taken in one run.")
    then: Destination = Field(
        default="", description="Where it leads after that: a step's id, end, or stop: and the id of a stop."
    )


class Answer(Outcome):
    """One answer."""

    id: Id = Field(description="The answer's id.")
    says: Text = Field(default="", description="The answer as it is read, at most 66 columns.")
    unticked: dict[Id, Weight] = Field(
        default={}, description="Where several may be ticked: findings ruled out if this is left alone."
    )
    verdict: Verdict | None = Field(default=None, description="pass, watch or fail, where the answer is one.")
    usual: bool = Field(default=False, description="True for the answer that a healthy machine gives.")
    good: bool = Field(default=False, description=GOOD)
    alone: bool = Field(default=False, description=ALONE)
    kept: bool = Field(default=False, description=KEPT)


class On(Outcome):
    """What a verdict brings about."""

    verdict: Verdict = Field(description="The verdict.")


class Reading(Table):
    """What a measure step reads."""

    unit: Unit = Field(description="The unit, also of every number here.")
    low: Number = Field(
        alias="from",
        description="The least that is believed. A number outside is asked about and is never pass; a gate takes none.",
    )
    high: Number = Field(alias="to", description="The most that is believed.")
    tool: Id = Field(description="The id of the tool.")
    each: Id = Field(default="", description="The id of a fact whose value is the number of items.")
    item: Text = Field(default="", description="What one of them is called.")
    places: list[Text] = Field(
        default=NONE, max_length=16, description="The items by name, in place of each."
    )
    ways: list[Text] = Field(default=NONE, max_length=4, description="Directions, each read on its own.")
    way_by_way: bool = Field(
        default=False,
        description="True: all items are read one way before the next way. Otherwise item by item.",
    )
    repeats: int = Field(default=1, ge=1, le=10, description="How often each is read.")
    usual: Number | None = Field(default=None, description="What a healthy machine gives.")


class Compute(Table):
    """A named calculator and what goes in."""

    calculator: Annotated[str, AfterValidator(_calculator)] = Field(
        description="Its name.", json_schema_extra={"enum": list(CALCULATORS)}
    )
    inputs: dict[Id, StepPath] = Field(
        default={}, description="Each input's name, and the step it comes from."
    )
    choices: dict[Id, Annotated[str, Field(pattern=r"^[a-z0-9-]+(\.[a-z0-9-]+)?$")]] = Field(
        default={},
        description="Each choice's name, and the choose step (inspection.step) or the fact that makes it.",
    )
    settings: dict[Id, Number] = Field(default={}, description="Constants, in the calculator's own units.")


class Unable(Table):
    """Where 'unable' and 'not fitted' lead."""

    next: Target = Field(default="", description="A step's id, or end.")
    stop: Id = Field(default="", description="The id of a stop. Required in a gate.")


class Step(Table):
    """One screen: it asks one action."""

    id: Id = Field(description="The step's id.")
    kind: Literal["tell", "look", "choose", "measure", "compute"] = Field(description="What kind of screen.")
    do: Paragraph = Field(description="The action, at most 6 lines of 74 columns.")
    expect: Paragraph = Field(default="", description="What to expect after it.")
    caution: list[Caution] = Field(default=NONE, description="Warnings that stand before the action.")
    drawing: Annotated[str, Field(pattern="^[a-z0-9-]+(:[a-z0-9-]+)?$")] = Field(
        default="", description="A drawing's name, then : and the region that is lit."
    )
    minutes: Minutes = Field(default=1, description="How long it usually takes.")
    does: list[Id] = Field(
        default=NONE, description="Activities that bars and debts may forbid: spin, water."
    )
    next: Target = Field(
        default="", description="Where its answers lead unless they say. Left out: the next step."
    )
    many: bool = Field(default=False, description="True: several answers may be ticked.")
    aid: Aid | None = Field(
        default=None,
        description="What helps to measure, on one key: a stopwatch; taps, which count and time swings; a clock, "
        "which draws readings round a rim as they come; the four feet, drawn from above; bleed, which reckons the wait "
        "left until a charged bus is safe; recording, which fits a phone's or logger's CSV of a tub let go, and gives "
        "the damping ratio (as from a push of 15 mm, with 2 mm still seen).",
    )
    answer: list[Answer] = Field(default=NONE, description="The answers of look and choose.")
    on: list[On] = Field(default=NONE, description="What each verdict of measure and compute brings about.")
    reading: Reading | None = Field(default=None, description="What a measure step reads.")
    compute: Compute | None = Field(default=None, description="What a compute step reckons.")
    limit: Id = Field(default="", description="The id of the limit that judges the reading or result.")
    evidence: dict[Id, Annotated[list[Id], Field(min_length=1)]] = Field(
        default={}, description="Findings, each with the bands of the limit that speak for it."
    )
    unable: Unable = Field(
        default=Unable(), description="Where 'unable' leads. Left out: the inspection ends."
    )
    bar: list[Id] = Field(default=NONE, description=BAR)
    lift: list[Id] = Field(default=NONE, description=LIFT)
    owe: list[Id] = Field(default=NONE, description=OWE)
    pay: list[Id] = Field(default=NONE, description=PAY)
    voids: list[Ended] = Field(default=NONE, description=VOIDS)


class Head(Table):
    """The part of the machine, when and on which machines it is inspected."""

    id: Id = Field(description="The inspection's id.")
    title: Text = Field(description="At most 40 columns.")
    state: State = Field(description="The safety states its steps may be answered in.")
    gate: Gate | None = Field(default=None, description="The safety state it establishes, if it is a gate.")
    energised: bool = Field(default=False, description="True: it needs the plug in, with the covers on.")
    applies: Applies = Field(default={}, description=APPLIES)
    absent: Text = Field(default="", description="Recorded as 'not fitted' where it doesn't apply.")
    people: People = Field(default=1, description="How many people it takes.")
    minutes: Minutes = Field(description="How long it takes, panels left out.")
    opens: list[Id] = Field(
        default=NONE, description="Ids of debts that begin with its first answer: panels."
    )
    caution: list[Caution] = Field(default=NONE, description="Warnings that stand before all of it.")
    why: Text = Field(default="", description="Why it is worth doing.")
    after_only: bool = Field(default=False, description="True: part of proving the repair, never evidence.")


class InspectionFile(Table):
    """One file of inspections/."""

    inspection: Head = Field(description="The inspection.")
    step: list[Step] = Field(min_length=1, description="Its steps, in their order.")
