"""What a step, a remedy or a row of leaving needs can always be met: by answers, or it is said in words that it
can't.

Proved for all beliefs of all machines at once (``wizard.safety.cover``). What can't be shown that way is looked for
on one machine after the other: a trap, which is an error with the way into it; or it isn't decided, and it is said
why.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import ActRef, RepairRef, StepRef
from wizard.domain.vocabulary import Severity
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.model import Flow
from wizard.flowcheck.checks.witness import spelled
from wizard.flowcheck.model.counterexample import Counterexample, Place, Places
from wizard.flowcheck.model.machine_variants import fact_values, say, within
from wizard.safety import Needs, Reach
from wizard.safety.cover import Cover, CoverResult, ProofGap
from wizard.safety.cover.flow_blocks import FlowBlocks
from wizard.safety.cover.trap import Trap, trap

MACHINES = 4
"""Machines of a gap on which a trap is looked for."""


@dataclass(frozen=True, slots=True)
class ProofSubject:
    """Something that needs must be met for: a reach, a step or a remedy."""

    about: ActRef | Reach
    needs: Needs


@dataclass(frozen=True, slots=True)
class Caught:
    """What became of a gap: a trap on a machine, or None of ``tried`` beliefs."""

    gap: ProofGap
    facts: Mapping[str, str]
    trap: Trap | None
    tried: int

    @property
    def cause(self) -> object:
        """What traps of several targets have in common where they have one cause."""
        if self.trap is None:
            return self.gap.acts, self.gap.condition
        barred = self.trap.barred
        return (barred.condition, barred.needed) if barred else frozenset(self.trap.round)


@dataclass
class Meeting:
    """The proof of one flow, and what it counted. Each different set of needs is proved once."""

    rules: Rules
    places: Places
    outcomes: dict[tuple[tuple[str, frozenset[str]], ...], tuple[ProofSubject, CoverResult]] = field(
        default_factory=dict
    )

    @property
    def flow(self) -> Flow:
        """The flow."""
        return self.rules.flow

    @cached_property
    def compiled(self) -> FlowBlocks:
        """All machines of the flow in blocks."""
        return FlowBlocks.of(self.flow.conditions, self.rules.acts, fact_values(self.flow))

    @property
    def beliefs(self) -> int:
        """How many beliefs that is, of all kinds of machine together."""
        count = 1
        for fact in self.compiled.facts.values():
            count *= fact.width
        for block in self.compiled.blocks.values():
            count *= block.width - 1
        return count

    def targets(self) -> Iterator[ProofSubject]:
        """Every step and remedy, then the reaches that none of them has."""
        for act in self.rules.acts:
            yield ProofSubject(act.id, act.needs)
        for reach in self.flow.reaches.values():
            yield ProofSubject(reach, reach.needs)

    def prove(self) -> Iterator[Counterexample]:
        """Yield what is wrong: each different set of needs is proved once, and each cause is told once."""
        cover = Cover(self.compiled)
        causes: dict[object, list[tuple[ProofSubject, Caught]]] = {}
        for target in self.targets():
            key = tuple((c, target.needs[c]) for c in self.compiled.blocks if c in target.needs)
            if key and key not in self.outcomes:
                outcome = cover.meets(target.needs)
                self.outcomes[key] = (target, outcome)
                if outcome.gap is not None:
                    caught = self._caught(target, outcome.gap)
                    causes.setdefault(caught.cause, []).append((target, caught))
        for (target, caught), *others in causes.values():
            yield self._told(target, caught, len(others))

    def _caught(self, target: ProofSubject, gap: ProofGap) -> Caught:
        """What a gap is on some of its machines: a trap, or none was found."""
        tried = 0
        for facts in islice(within(self.flow, self.compiled.machines(gap.sets)), MACHINES):
            found = trap(self.rules.model(facts), target.needs)
            if isinstance(found, Trap):
                return Caught(gap, facts, found, tried)
            tried += found
        return Caught(gap, {}, None, tried)

    def _told(self, target: ProofSubject, caught: Caught, others: int) -> Counterexample:
        """A trap as an error, with the way into it; what isn't decided as a warning, with beliefs that are
        doubtful.
        """
        more = f" (and {others} more)" if others else ""
        found = caught.trap
        if found is None:
            where = f" at {', '.join(map(str, caught.gap.acts))}" if caught.gap.acts else ""
            message = (
                f"not decided: whether all that {self._whose(target)}{more} needs can be asked for. Of {caught.tried} "
                f"beliefs that were tried none is a trap, but what is asked{where} may come back to where it was"
            )
            known = tuple(f"{c}: {' or '.join(v)}" for c, v in self.compiled.example(caught.gap.sets).items())
            return self.places.show(self._place(target), message, "way", (), known, Severity.WARNING)
        if found.barred is not None:
            condition = self.flow.conditions[found.barred.condition]
            values = " or ".join(v for v in condition.values if v in found.barred.needed)
            why = f"nothing can be asked that makes {condition.id} {values}"
        else:
            around = " > ".join(map(str, (*found.round, found.round[0])))
            why = f"what is asked undoes what was asked before, for ever: {around}"
        message = f"{self._whose(target)}{more} can't be made ready on {say(caught.facts)}: {why}"
        witness = spelled(self.flow, caught.facts, target.about, found)
        return self.places.show(self._place(target), message, "way", witness)

    def _whose(self, target: ProofSubject) -> str:
        match target.about:
            case RepairRef(fault):
                return f'repair of "{fault}"'
            case StepRef():
                return f'step "{target.about}"'
            case Reach(id):
                return f'reach "{id}"'

    def _place(self, target: ProofSubject) -> Place:
        match target.about:
            case RepairRef(fault):
                return self.places.entry(ThingKind.FAULT, fault)
            case StepRef(inspection, step):
                return self.places.step(inspection, step)
            case Reach(id):
                return self.places.entry(ThingKind.REACH, id)
