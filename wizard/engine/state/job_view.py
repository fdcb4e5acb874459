"""A job as it is looked at: the rules of its flow and one of its states, in one object."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state.job_state import State
from wizard.flow.model import Flow
from wizard.safety import Belief, Model


@dataclass(frozen=True)
class JobView:
    """Where a job stands and by which rules: what every query, paper and picture of a job is made of."""

    rules: Rules
    state: State

    @classmethod
    def of(cls, flow: Flow, state: State) -> JobView:
        """The view of a state by the rules of a flow, which are made once while the flow is the same."""
        return cls(Rules.of(flow), state)

    @property
    def flow(self) -> Flow:
        """The flow that the job runs."""
        return self.rules.flow

    @cached_property
    def model(self) -> Model:
        """The model of this machine, as its facts stand in this state."""
        return self.rules.model(self.state.facts)

    @cached_property
    def belief(self) -> Belief:
        """What is believed of each condition of this machine: as events told, else all that it may be but a latch."""
        known = self.state.belief
        return {c: known[c].values if c in known else values for c, values in self.model.top().items()}

    def at(self, state: State) -> JobView:
        """Another state by the same rules: before or after an event."""
        return JobView(self.rules, state)
