"""The schemas of limits.toml, findings.toml, faults.toml and of a service sheet."""

from __future__ import annotations

from pydantic import Field

from wizard.flow.schema.base import (
    APPLIES,
    BAR,
    LIFT,
    NONE,
    OWE,
    PAY,
    Applies,
    Caution,
    Id,
    Minutes,
    Number,
    Paragraph,
    People,
    Probability,
    Reference,
    State,
    Status,
    StepPath,
    Table,
    Text,
    Unit,
    Verdict,
)


class Band(Table):
    """One band of a limit. It begins where the one before it ends."""

    id: Id = Field(description="The band's id.")
    below: Number | None = Field(default=None, description="Its upper edge, which belongs to the next band.")
    up_to: Number | None = Field(default=None, description="Its upper edge, which belongs to it.")
    verdict: Verdict = Field(description="pass, watch or fail.")
    source: Text = Field(default="", description="Where its edge comes from, if not as the limit's.")


class SheetLimit(Table):
    """The bands a reading is judged by, from a service sheet."""

    id: Id = Field(
        description="The limit's id. Several may share one: then exactly one must fit each machine."
    )
    says: Text = Field(description="What it is a limit of.")
    unit: Unit = Field(description="The unit of its edges.")
    applies: Applies = Field(default={}, description=APPLIES)
    source: Text = Field(description="Where it comes from.")
    band: list[Band] = Field(min_length=2, max_length=9, description="The bands, from the lowest up.")


class Limit(SheetLimit):
    """The bands a reading is judged by."""

    status: Status = Field(
        description="P: published and read. P*: published, recalled. C: common practice. E: an estimate."
    )


class Finding(Table):
    """A named fact that answers and verdicts establish or rule out."""

    id: Id = Field(description="The finding's id.")
    says: Text = Field(description="The finding as a sentence.")
    leak: Probability = Field(description="How likely it is to be seen with no fault at all.")
    applies: Applies = Field(default={}, description=APPLIES)
    weights: dict[Id, Probability] = Field(description="Faults, each with how likely it alone shows this.")


class Part(Table):
    """A part to fit."""

    id: Id = Field(description="The part's id.")
    says: Text = Field(description="Its name.")
    count: int = Field(default=1, ge=1, le=50, description="How many make a set.")
    per: Id = Field(default="", description="The id of a fact whose value is the count.")


class Remedy(Table):
    """What mends a fault."""

    says: Text = Field(description="The remedy in a line.")
    do: list[Paragraph] = Field(min_length=1, description="Its acts, one each.")
    minutes: Minutes = Field(description="How long it takes, the test included.")
    state: State = Field(description="The safety states it may be done in.")
    people: People = Field(default=1, description="How many people it takes.")
    caution: list[Caution] = Field(default=NONE, description="Warnings that stand before it.")
    companions: list[Text] = Field(default=NONE, description="What to look at or replace along with it.")
    part: list[Part] = Field(default=NONE, description="The parts to fit.")
    owe: list[Id] = Field(default=NONE, description=OWE)
    pay: list[Id] = Field(default=NONE, description=PAY)
    lift: list[Id] = Field(default=NONE, description=LIFT)
    recheck: list[Reference] = Field(
        default=NONE, description="Inspections or steps to measure again after it."
    )
    worth: Text = Field(default="", description="Is the repair usually worthwhile?")
    risk: Text = Field(default="", description="Told to a customer who declines.")


class Fault(Table):
    """A cause."""

    id: Id = Field(description="The fault's id.")
    says: Text = Field(description="The fault in the trade's words.")
    plain: Text = Field(description="The sentence for the customer.")
    share: dict[Id, Number] = Field(
        min_length=1, description="Per kind of machine, percent of complaints. A kind left out can't have it."
    )
    alone: bool = Field(default=False, description="True: never confirmed together with another.")
    bar: list[Id] = Field(default=NONE, description=BAR)
    hazard: Text = Field(default="", description="What is dangerous about it.")
    confirm: list[StepPath] = Field(
        default=NONE, description="One of these steps must have been answered before a part is fitted."
    )
    remedy: Remedy = Field(description="What mends it.")


class LimitsFile(Table):
    """limits.toml"""

    limit: list[Limit] = Field(default=NONE, description="The limits.")


class FindingsFile(Table):
    """findings.toml"""

    finding: list[Finding] = Field(default=NONE, description="The findings.")


class FaultsFile(Table):
    """faults.toml"""

    fault: list[Fault] = Field(min_length=1, description="The faults.")


class SheetHead(Table):
    """Whose sheet it is."""

    model: Text = Field(description="The model it is for, as on the type plate.")
    source: Text = Field(description="The sheet's title, number and date.")


class SheetFile(Table):
    """A service sheet under sheets/ of the home folder."""

    sheet: SheetHead = Field(description="Whose sheet it is.")
    limit: list[SheetLimit] = Field(
        min_length=1, description="Its limits; each has the id of one in the flow."
    )
