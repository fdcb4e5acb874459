"""What a model must satisfy to mean what it says, asked of the whole flow; the rules ask it place by place."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import RepairRef
from wizard.engine.safety.flow_rules import Rules
from wizard.flowcheck.model.counterexample import Counterexample, Place, Places
from wizard.safety import Act, Condition
from wizard.safety.checks import ModelProblem, problems
from wizard.safety.kinds import ModelProblemKind


def soundness(rules: Rules, places: Places) -> Iterator[Counterexample]:
    """Yield what is wrong with conditions, reaches and acts together; nothing is proved of such a flow."""
    flow = rules.flow
    for problem in problems(flow.conditions.values(), flow.reaches.values(), rules.acts):
        rule = "latch" if problem.kind is ModelProblemKind.LATCH else "condition"
        message = f'"{problem.owner.id}", {problem.key}: {problem.says}'
        yield places.show(_place(places, problem), message, rule, names=(str(problem.owner.id),))


def _place(places: Places, problem: ModelProblem) -> Place:
    """Where the owner of a problem stands."""
    owner = problem.owner
    if not isinstance(owner, Act):
        return places.entry(
            ThingKind.CONDITION if isinstance(owner, Condition) else ThingKind.REACH, owner.id
        )
    if isinstance(owner.id, RepairRef):
        return places.entry(ThingKind.FAULT, owner.id.fault)
    return places.step(owner.id.inspection, owner.id.step)
