"""Which keys of a flow's files are edited, each as what kind of thing and in which ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum, unique

from wizard.flow.model import (
    Answer,
    Approach,
    Band,
    ChooseStep,
    Compute,
    ComputeStep,
    Fact,
    FactValue,
    Fault,
    FigureMeaning,
    Finding,
    FlowHead,
    Inspection,
    Limit,
    LookStep,
    MeasureStep,
    Part,
    Reading,
    RecordStep,
    Remedy,
    Stop,
    TellStep,
    Tool,
    Unable,
    VerdictConsequence,
)
from wizard.flow.model.files import MachineFile
from wizard.flow.model.machine import ConditionTable, ReachTable
from wizard.flow.model.steps import Wait
from wizard.flowcheck.weak.edit_kinds import EditKind


@unique
class EditWay(StrEnum):
    """How the value of a key is edited: ``each`` entry of it is taken out, or all of it; its numbers are halved and
    doubled, or each entry's; an edge of a band is moved; a word, a unit or a reach gives way to another one, a way on
    to the end.
    """

    EACH = "each"
    WHOLE = "whole"
    NUMBER = "number"
    WEIGHTS = "weights"
    EDGE = "edge"
    WORD = "word"
    UNIT = "another unit"
    NEARER = "nearer"
    END = "end"


@dataclass(frozen=True, slots=True)
class KeyEdits:
    """A key is edited as this kind of thing, in these ways."""

    kind: EditKind
    ways: tuple[EditWay, ...]


_KINDS: Mapping[EditKind, Mapping[EditWay, str]] = {
    EditKind.NEED: {EditWay.EACH: "Step.needs ReachTable.needs ReachTable.begins Remedy.needs FlowHead.consent"},
    EditKind.REACH: {
        EditWay.NEARER: "Step.reach Remedy.reach Approach.reach",
        EditWay.WHOLE: "ReachTable.from ReachTable.verbs Tool.reach",
        EditWay.EACH: "ConditionTable.hands Remedy.approach",
    },
    EditKind.EFFECT: {
        EditWay.EACH: "Step.so Answer.so Answer.unticked_so VerdictConsequence.so FactValue.so Fault.so Remedy.so"
    },
    EditKind.SPOIL: {EditWay.EACH: "Step.may ReachTable.may Remedy.may"},
    EditKind.CAUTION: {
        EditWay.EACH: "Step.caution Inspection.caution Remedy.caution ConditionTable.urgent",
        EditWay.WHOLE: "ReachTable.warns Fault.hazard",
    },
    EditKind.STOP: {
        EditWay.WHOLE: "Answer.stop VerdictConsequence.stop FactValue.stop Unable.stop ConditionTable.contradicted "
        "Stop.outdoors",
        EditWay.END: "Answer.then VerdictConsequence.then",
        EditWay.EACH: "Stop.make_safe",
    },
    EditKind.UNABLE: {EditWay.WHOLE: "Step.unable"},
    EditKind.KNOWN_BAD: {EditWay.EACH: "ConditionTable.latch Stop.so Fault.needs"},
    EditKind.DRIFT: {EditWay.EACH: "ConditionTable.alone ConditionTable.while"},
    EditKind.OWED: {
        EditWay.EACH: "Stop.again Fact.sight Inspection.repairs Remedy.recheck FlowHead.find FlowHead.prove "
        "FlowHead.procedures MachineFile.procedures",
        EditWay.WHOLE: "Inspection.owed ConditionTable.last FactValue.later Answer.leaves_out "
        "VerdictConsequence.leaves_out",
    },
    EditKind.PEOPLE: {EditWay.WHOLE: "ConditionTable.passing"},
    EditKind.WAIT: {EditWay.WHOLE: "Step.wait Answer.wait Step.takes", EditWay.WEIGHTS: "Wait.minutes"},
    EditKind.CONFIRM: {EditWay.EACH: "Fault.confirm", EditWay.WHOLE: "Fault.alone"},
    EditKind.APPLIES: {
        EditWay.EACH: "Inspection.applies ConditionTable.applies Wait.applies Limit.applies Finding.applies "
        "Fact.applies Fault.unless",
    },
    EditKind.LIMIT: {EditWay.EDGE: "Band.below Band.up_to"},
    EditKind.READING: {
        EditWay.NUMBER: "Tool.uncertainty Reading.usual Limit.usual Limit.scatter Step.spin_rpm Step.spin_seconds "
        "FigureMeaning.grown",
        EditWay.WHOLE: "Reading.signed Reading.repeats Reading.each Reading.way_by_way Step.aid Step.each",
        EditWay.EACH: "Reading.ways Compute.inputs Compute.choices Step.reads",
        EditWay.WEIGHTS: "Compute.settings",
    },
    EditKind.UNIT: {EditWay.UNIT: "Reading.unit Limit.unit Tool.unit"},
    EditKind.VERDICT: {
        EditWay.WORD: "Band.verdict Answer.verdict FigureMeaning.verdict",
        EditWay.WHOLE: "Step.limit Answer.verdict",
    },
    EditKind.EVIDENCE: {
        EditWay.WEIGHTS: "Answer.finds Answer.rules_out Answer.unticked VerdictConsequence.finds "
        "VerdictConsequence.rules_out FigureMeaning.finds FigureMeaning.rules_out",
        EditWay.EACH: "Step.evidence FigureMeaning.fills FigureMeaning.asks",
        EditWay.WHOLE: "Answer.severity",
    },
    EditKind.WEIGHT: {
        EditWay.WEIGHTS: "Finding.weights Fault.share",
        EditWay.NUMBER: "Finding.leak FlowHead.occupancy",
        EditWay.WHOLE: "Finding.strength Fault.severity FlowHead.severity FlowHead.strength Band.typical",
    },
    EditKind.BRANCH: {
        EditWay.NUMBER: "Answer.most VerdictConsequence.most",
        EditWay.WHOLE: "Step.next Answer.next VerdictConsequence.next Unable.next Inspection.after_only Step.once "
        "FlowHead.lead Step.before",
    },
    EditKind.PRICE: {
        EditWay.EACH: "Remedy.part FlowHead.talk_over FlowHead.wrong_part Remedy.worth_at",
        EditWay.WORD: "Remedy.price",
        EditWay.NUMBER: "Fault.missed FlowHead.second_visit Part.count",
        EditWay.WHOLE: "Part.per Part.optional FlowHead.age",
    },
}  # fmt: skip
STEPS = (TellStep, LookStep, ChooseStep, MeasureStep, ComputeStep, RecordStep)
TABLES: tuple[type, ...] = (
    ConditionTable, ReachTable, MachineFile, Stop, Tool, Fact, FactValue, FlowHead, Inspection, Wait, Unable, *STEPS,
    Answer, VerdictConsequence, FigureMeaning, Reading, Compute, Limit, Band, Finding, Fault, Remedy, Part, Approach,
)  # fmt: skip
"""The declared tables of which some key is edited."""


def _named(table: type) -> str:
    return "Step" if table in STEPS else table.__name__


def _edits() -> Mapping[tuple[str, str], KeyEdits]:
    found: dict[tuple[str, str], KeyEdits] = {}
    for kind, ways in _KINDS.items():
        for way, names in ways.items():
            for name in names.split():
                table, _, key = name.partition(".")
                known = found.get((table, key))
                found[table, key] = KeyEdits(kind, (*(known.ways if known else ()), way))
    return found


_EDITS = _edits()


def edits_of(table: type, keys: Iterable[str]) -> Mapping[str, KeyEdits]:
    """Return those of the keys of a table that are edited, each with how."""
    name = _named(table)
    return {key: _EDITS[name, key] for key in keys if (name, key) in _EDITS}
