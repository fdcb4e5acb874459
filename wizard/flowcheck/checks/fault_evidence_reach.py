"""Every fault can be raised and ruled out on each kind of machine, has a case, and which ones nothing tells apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import Severity
from wizard.flow.model import Fault, Finding, Flow, Inspection, Step, bands_of, fits, limit_id
from wizard.flow.model.case import Case
from wizard.flow.model.case_form import TOP
from wizard.flowcheck.model.counterexample import Counterexample, Places
from wizard.flowcheck.model.machine_variants import machines

EVEN = 0.5
"""The evidence of a finding that says nothing."""


@dataclass(frozen=True, slots=True)
class RaisedFindings:
    """The findings that steps can establish (``up``) and rule out (``down``) on one kind, each with such a step."""

    up: dict[str, StepRef]
    down: dict[str, StepRef]

    @property
    def findings(self) -> set[str]:
        """All of them."""
        return {*self.up, *self.down}


def faults(flow: Flow, places: Places) -> Iterator[Counterexample]:
    """On each kind that can have a fault: some answer speaks for it and some against it; pairs alike are named."""
    pairs: dict[tuple[str, str], list[str]] = {}
    for kind in _kinds(flow):
        given = given_on(flow, kind)
        mine = [f for f in flow.faults.values() if f.share.get(kind, 0.0) > 0.0]
        for fault in mine:
            yield from _sides(flow, places, kind, fault, given)
        columns = {f.id: _column(flow, kind, f, given) for f in mine}
        for one, other in combinations(mine, 2):
            if columns[one.id] and columns[one.id] == columns[other.id]:
                pairs.setdefault((one.id, other.id), []).append(kind)
    for (one_id, other_id), kinds in pairs.items():
        yield _alike(flow, places, one_id, other_id, kinds)


def _kinds(flow: Flow) -> tuple[str, ...]:
    fact = flow.fact(flow.kind)
    return tuple(v.id for v in fact.values if not v.stop) if fact else ()


def given_on(flow: Flow, kind: str) -> RaisedFindings:
    """What the steps of a kind of machine can say of findings before the repair."""
    given = RaisedFindings({}, {})
    for inspection in flow.inspections.values():
        if not inspection.after_only and _may_apply(flow, kind, inspection.applies):
            for step in inspection.steps:
                _step(flow, given, inspection, step)
    for finding in flow.findings.values():
        if not _may_apply(flow, kind, finding.applies):
            given.up.pop(finding.id, None)
            given.down.pop(finding.id, None)
    return given


def _may_apply(flow: Flow, kind: str, applies: Mapping[str, tuple[str, ...]]) -> bool:
    """True when some machine of the kind is one of these."""
    if set(applies) <= {flow.kind}:
        return fits(applies, {flow.kind: kind})
    return any(fits(applies, m) for m in machines(flow, {*applies, flow.kind}) if m.get(flow.kind) == kind)


def _step(flow: Flow, given: RaisedFindings, inspection: Inspection, step: Step) -> None:
    where = StepRef(inspection.id, step.id)
    for answer in step.answers:
        against = (*answer.rules_out.items(), *answer.unticked.items())
        for finding, e in (*answer.finds.items(), *((f, 1.0 - w) for f, w in against)):
            side = given.up if e > EVEN else given.down if e < EVEN else {}
            side.setdefault(finding, where)
    bands = {band.id for limit in flow.limits.get(limit_id(step), ()) for band in limit.bands}
    for finding, ids in bands_of(step).items():
        if set(ids) & bands:
            given.up.setdefault(finding, where)
        if bands - set(ids):
            given.down.setdefault(finding, where)


def _sides(
    flow: Flow, places: Places, kind: str, fault: Fault, given: RaisedFindings
) -> Iterator[Counterexample]:
    """Seeing a finding speaks for the faults that show it; ruling it out speaks against them."""
    shown = [f.id for f in flow.findings.values() if f.weights.get(fault.id, 0.0) > 0.0]
    for side, word, rule in ((given.up, "raises it", "raise"), (given.down, "rules it out", "rule-out")):
        if not any(f in side for f in shown):
            message = f'fault "{fault.id}": no answer of a {kind} {word}. {_lacks(shown, side)}'
            yield places.show(places.entry(ThingKind.FAULT, fault.id), message, rule, names=(kind, *shown))


def _lacks(shown: Iterable[str], side: Iterable[str]) -> str:
    if not list(shown):
        return "No finding has a weight for it"
    verb = "finds" if side else "finds or rules out"
    return f"Its findings ({', '.join(shown)}) are ones that no step there {verb}"


def _column(flow: Flow, kind: str, fault: Fault, given: RaisedFindings) -> tuple[tuple[str, float], ...]:
    """The fault's weights over the findings that can be given on a kind."""
    found: list[Finding] = [flow.findings[f] for f in sorted(given.findings) if f in flow.findings]
    return tuple((f.id, f.weights[fault.id]) for f in found if f.weights.get(fault.id, 0.0) > 0.0)


def _alike(flow: Flow, places: Places, one: str, other: str, kinds: list[str]) -> Counterexample:
    message = (
        f'fault "{one}" and fault "{other}" have the same weights on all that can be found on {", ".join(kinds)}: '
        "nothing tells them apart. Add a finding that does, or make them one"
    )
    same = [
        f"{f.id} {f.weights[one]:g}"
        for f in flow.findings.values()
        if f.weights.get(one, 0) == f.weights.get(other)
    ]
    return places.show(
        places.entry(ThingKind.FAULT, one), message, "alike", (), (one, other, *same), Severity.WARNING
    )


def without_case(flow: Flow, places: Places, cases: Iterable[Case]) -> Iterator[Counterexample]:
    """Each fault that no case confirms or expects first."""
    named: set[str] = set()
    for case in cases:
        named |= {
            case.expect.top,
            *(case.expect.confirmed or ()),
            *(() if case.confirm == TOP else case.confirm),
        }
    for fault in flow.faults.values():
        if fault.id not in named:
            message = f'fault "{fault.id}": no case confirms it. Write one into cases/'
            yield places.show(
                places.entry(ThingKind.FAULT, fault.id), message, "case", (), (fault.id,), Severity.WARNING
            )
