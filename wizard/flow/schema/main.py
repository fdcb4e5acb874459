"""The schema of flow.toml: the complaint, the machine facts, bars, debts, stops and tools."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from wizard.flow.schema.base import (
    BAR,
    NONE,
    Applies,
    Id,
    Minutes,
    Number,
    Paragraph,
    StateName,
    Table,
    Text,
    Unit,
)


class Head(Table):
    """What the flow is about, and the order of its inspections."""

    id: Id = Field(description="The flow's id.")
    title: Text = Field(description="What a technician picks it by, at most 40 columns.")
    complaint: Text = Field(description="The complaint it is for, as a customer would say it.")
    version: Text = Field(description="The author's version, kept with each session.")
    place: int = Field(
        default=100,
        ge=1,
        le=100,
        description="Where it stands in lists: 1 first. Those of one place by their names.",
    )
    notice: Paragraph = Field(description="Always shown: that local codes and the maker's sheet come first.")
    kind: Id = Field(description="The id of the fact whose values have shares: the kind of machine.")
    occupancy: Number = Field(
        default=0.3, gt=0, lt=1, description="Prior of a fault = occupancy x share. 0.3 unless known better."
    )
    find: list[Id] = Field(min_length=1, description="Inspections in their order before the decision.")
    prove: list[Id] = Field(
        min_length=1,
        description="Inspections in their order after the repair. One that stands in find too is asked once: here, if "
        "the decision came before it. The job is not proved without it.",
    )
    leave: Id = Field(description="The inspection that leaves a machine waiting for parts.")
    handover: Id = Field(description="The last inspection.")


class FactValue(Table):
    """One value that a machine fact can take."""

    id: Id = Field(description="The value's id; a whole number where items are counted by it.")
    says: Text = Field(description="The value as it is read, at most 66 columns.")
    note: Text = Field(default="", description="Shown once the value is chosen.")
    bar: list[Id] = Field(default=NONE, description=BAR)
    stop: Id = Field(default="", description="The id of a stop: with this value no work is done.")


class Fact(Table):
    """A machine fact asked at arrival."""

    id: Id = Field(description="The fact's id.")
    ask: Text = Field(description="The question.")
    applies: Applies = Field(default={}, description="For which earlier facts it is asked at all.")
    usual: Id = Field(default="", description="The value taken where a case leaves the fact out.")
    required: bool = Field(
        default=True, description="False: it may be left open. Nothing may depend on it then."
    )
    value: list[FactValue] = Field(default=NONE, max_length=9, description="Its values. None: free text.")


class Bar(Table):
    """Something that forbids activities until a step or a remedy lifts it."""

    id: Id = Field(description="The bar's id.")
    says: Text = Field(description="Why, as a sentence.")
    forbids: list[Id] = Field(min_length=1, description="Activities (does) or safety states it forbids.")


class Debt(Table):
    """Something owed until a step or a remedy pays it."""

    id: Id = Field(description="The debt's id.")
    says: Text = Field(description="What must be done.")
    before: list[Id] = Field(
        description="Activities or safety states before which it must be paid; [] where only the end waits for it."
    )
    minutes: Minutes = Field(default=0, description="What it costs, there and back.")
    keeps: Literal["isolated", "nothing"] | None = Field(
        default=None,
        description="Required of what the gate to isolated owes: isolated, if it is so only while this is owed "
        "(plug out, taps off), else nothing. Who pays it then ends isolated (voids), or says that it stays so (kept).",
    )


class Stop(Table):
    """A reason to stop work."""

    id: Id = Field(description="The stop's id.")
    says: Text = Field(description="The reason.")
    call: Text = Field(description="Whom to call.")
    make_safe: list[Text] = Field(min_length=1, description="How to leave the machine safe, one act each.")
    bar: list[Id] = Field(default=NONE, description=BAR)


class Tool(Table):
    """A measuring tool."""

    id: Id = Field(description="The tool's id.")
    says: Text = Field(description="Its name.")
    unit: Unit = Field(description="The unit it is read in, and of the two numbers here.")
    resolution: Number = Field(ge=0, description="The smallest step it shows.")
    uncertainty: Number = Field(ge=0, description="Its standard uncertainty.")
    needs: StateName | None = Field(
        default=None,
        description="The safety state in which it may touch the machine; the gate to that state may use it too. "
        "Required of a tool for volts, ohms, amperes or farads.",
    )


class FlowFile(Table):
    """flow.toml"""

    flow: Head = Field(description="What the flow is about, and the order of its inspections.")
    fact: list[Fact] = Field(min_length=1, description="The machine facts, in the order they are asked.")
    bar: list[Bar] = Field(default=NONE, description="What forbids an activity until it is lifted.")
    debt: list[Debt] = Field(default=NONE, description="What is owed until it is paid.")
    stop: list[Stop] = Field(default=NONE, description="The reasons to stop work.")
    tool: list[Tool] = Field(default=NONE, description="The measuring tools.")
