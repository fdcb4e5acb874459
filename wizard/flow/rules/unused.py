"""What is declared is used, and what was repaired is measured again."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import Severity
from wizard.flow.model.kind_drawing import shown_as
from wizard.flow.parsing import flow_files
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex
from wizard.flow.rules.table_walk import mentions

_NEAR = 3.0


def shares(index: FlowIndex) -> Iterator[Problem]:
    """Shares are of kinds that there are, and those of a kind come to about 100."""
    fact = index.flow.fact(index.flow.kind)
    kinds = [v.id for v in fact.values] if fact else []
    sums = dict.fromkeys(kinds, 0.0)
    for fault in index.tables("faults.toml", "fault"):
        for kind, share in fault.table["share"].items():
            if kind not in sums:
                text = f'"{kind}" is not a value of fact "{index.flow.kind}".{nearest(kind, kinds)}'
                yield index.error(fault, ("share", kind), text, "share", key=True)
            elif not 0 <= share <= 100:
                yield index.error(
                    fault, ("share", kind), f"a share is 0 to 100 percent, not {share:g}", "share"
                )
            else:
                sums[kind] += share
    if "faults.toml" in index.source.doubtful or "faults.toml" not in index.source.sound:
        return
    for kind, total in sums.items():
        if abs(total - 100) > _NEAR:
            tables = list(index.tables("faults.toml", "fault"))
            first = next((t for t in tables if kind in t.table["share"]), tables[0])
            text = f"the shares of {kind} come to {total:g} over all faults, not to about 100"
            yield index.warning(first, ("share", kind), text, "share")


def measured_again(index: FlowIndex) -> Iterator[Problem]:
    """What a reading confirms is read again once it is repaired."""
    judged = {at.ref for at in index.steps() if at.limit}
    for location in index.tables("faults.toml", "fault"):
        fault = index.flow.faults.get(location.table["id"])
        if fault is None or fault.alone or fault.remedy.recheck:
            continue
        read = [ref for ref in fault.confirm if ref in judged]
        if read:
            text = f'"{read[0]}" confirms it, and nothing is measured after its repair. Write recheck = ["{read[0]}"]'
            yield index.warning(location.within("remedy"), (), text, "recheck")


def unused(index: FlowIndex) -> Iterator[Problem]:
    """Whatever has an id is named somewhere."""
    named = {(mention.kind, mention.name) for mention in mentions(index)}
    named |= {
        (ThingKind.STOP, a.then.stop) for at in index.steps() for a in at.step.answers if a.then is not None
    }
    for kind in (ThingKind.CONDITION, ThingKind.STOP, ThingKind.TOOL, ThingKind.LIMIT, ThingKind.FINDING):
        for location in index.declared(kind):
            if not flow_files.of_library(location.file) and (kind, location.table["id"]) not in named:
                yield index.warning(location, ("id",), "nothing uses this. Use it, or take it out", "unused")
    named_in = {where.drawing for at in index.steps() for _key, where in at.step.drawings}
    drawn = {d.id for name in named_in for d in shown_as(index.flow.drawings, name)}
    for name, (file, _text) in index.source.drawn.items():
        if not flow_files.of_library(file) and name not in drawn:
            text = "no step shows this drawing. Name it in a step, or take it out"
            yield Problem(file, 1, 1, text, "unused", Severity.WARNING)
    flow = index.flow
    listed = {*flow.find, *flow.prove, *flow.procedures, flow.leave, flow.handover}
    for location, inspection in index.inspections():
        if inspection.id not in listed:
            text = "this is in no order. Name it in find or prove of flow.toml, or it is only on the job map"
            if inspection.procedure:
                text = "this is in no order. Name it in procedures of the machine"
            yield index.warning(location, ("id",), text, "unused")


RULES = (shares, measured_again)
