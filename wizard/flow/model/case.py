"""Cases: scripted answers with the result expected. A test of a flow that a trainer can write."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import CaseAnswerKind, JobOutcome, RepairOutcome
from wizard.flow.declaring.declaration_fields import Bounds, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import (
    FactId,
    FaultId,
    Id,
    InspectionId,
    Minutes,
    Needs,
    ReachId,
    Recheck,
    StepPath,
    StopId,
    Text,
)
from wizard.flow.model.case_attempts import Attempt
from wizard.flow.model.case_form import CELLS, COLUMN_NAMES, CONFIRM, OUTCOMES, SAID, TOP, CaseAnswer
from wizard.flow.model.expecting.step_expect import StepExpect

__all__ = ["TOP", "Attempt", "Case", "CaseAnswer", "CaseAnswerKind", "CaseFile", "Expect"]


@dataclass(frozen=True, slots=True)
class Expect:
    """How a case must end; what isn't said is not asked for. A variant says only what differs.

    None: not said.
    """

    outcome: Annotated[JobOutcome | None, KeySpec("How the job ends: every case needs it.")] = None
    top: Annotated[FaultId, KeySpec("The fault ranked first when the decision is taken.")] = ""
    decided: Annotated[tuple[FaultId, ...] | None, KeySpec("The faults that are decided (0.9 or more).")] = (
        None
    )
    confirmed: Annotated[tuple[FaultId, ...] | None, KeySpec("The faults confirmed.")] = None
    stop: Annotated[StopId, KeySpec("The stop it ends with.")] = ""
    left: Annotated[
        ReachId, KeySpec("How the machine is left: the reach that the last part of the visit ends with.")
    ] = ""
    machine: Annotated[
        Needs,
        KeySpec("What is believed of the machine at the end: of each condition, nothing but these values."),
    ] = field(default_factory=dict)
    parts: Annotated[
        Mapping[Id, Annotated[int, Bounds(1, 100)]] | None,
        KeySpec("The parts fitted, and no others: each with how many."),
    ] = None
    minutes_below: Annotated[Minutes | None, KeySpec("It takes fewer minutes than this.")] = None


@dataclass(frozen=True, slots=True)
class Case:
    """A case: the machine, the answers, the decision, the end. With rows it is the table of several.

    ``own`` are the answers written for this case and not for its base, each as the key of its table and its step:
    each must be asked for.
    """

    id: Annotated[Id, KeySpec("The case's id.")]
    says: Annotated[Text, KeySpec("What it shows: every case needs it.")] = ""
    base: Annotated[
        Id,
        KeySpec(
            "A case further up in the file, of which this is a variant: what is written here is added to its facts, "
            "answers, after, repairs, ways, skip, unmeasured and expect, and takes the place of the rest."
        ),
    ] = ""
    facts: Annotated[Mapping[FactId, Text], KeySpec("Machine facts. Left out: the usual value.")] = field(
        default_factory=dict
    )
    unseen: Annotated[
        tuple[FactId, ...],
        KeySpec(
            "Facts given as not known yet that stay so once they are in sight. Left out: they get the usual value."
        ),
    ] = ()
    answers: Annotated[
        Mapping[StepPath, Annotated[CaseAnswer, SAID]],
        KeySpec(
            "Answers by inspection.step. Left out: the answer marked usual. In a variant { usual = true } takes the "
            "base's answer away."
        ),
    ] = field(default_factory=dict)
    after: Annotated[
        Mapping[StepPath, Annotated[CaseAnswer, SAID]], KeySpec("Answers when measured after the repair.")
    ] = field(default_factory=dict)
    confirm: Annotated[tuple[FaultId, ...] | str, KeySpec('Faults confirmed: a list, or "top".'), CONFIRM] = (
        TOP
    )
    repairs: Annotated[
        Mapping[FaultId, Annotated[tuple[RepairOutcome, ...], OUTCOMES]],
        KeySpec("What becomes of each confirmed fault; a list has one for each visit. Left out: fitted."),
    ] = field(default_factory=dict)
    ways: Annotated[
        Mapping[FaultId, Id],
        KeySpec("Which of its remedy's alternatives was done for a fault. Left out: the first."),
    ] = field(default_factory=dict)
    order: Annotated[
        tuple[InspectionId, ...] | None,
        KeySpec("The inspections before the decision. Left out: the flow's own order."),
    ] = None
    skip: Annotated[Mapping[InspectionId, Text], KeySpec("Inspections passed over, with the reason.")] = (
        field(default_factory=dict)
    )
    unmeasured: Annotated[
        Mapping[Recheck, Text],
        KeySpec(
            "What is not measured again after the repair, with the reason: an inspection, or one of its steps."
        ),
    ] = field(default_factory=dict)
    columns: Annotated[
        tuple[str, ...],
        KeySpec(
            "A table of cases: id, says, confirm, order, or a key in a table, as in facts.kind, answers.feet.rock, "
            "expect.top. An id goes behind this case's own, with a hyphen."
        ),
        COLUMN_NAMES,
    ] = ()
    rows: Annotated[
        tuple[Annotated[tuple[Any, ...], CELLS], ...],
        KeySpec('One case a row, on top of what is written here. "" leaves a cell out.'),
    ] = ()
    expect: Annotated[Expect, KeySpec("How it must end: every case needs it.")] = field(
        default_factory=Expect
    )
    steps: Annotated[
        Mapping[StepPath, StepExpect],
        KeySpec("Steps, each with what is so when it is answered first. A variant has none of its base's."),
    ] = field(default_factory=dict)
    attempts: Annotated[tuple[Attempt, ...], KeySpec("Attempts that must be refused.", "attempt")] = ()
    own: frozenset[tuple[str, StepRef]] = frozenset()


@dataclass(frozen=True, slots=True)
class CaseFile:
    """One file of cases/"""

    cases: Annotated[tuple[Case, ...], KeySpec("The cases.", "case"), SizeLimit(1)]
