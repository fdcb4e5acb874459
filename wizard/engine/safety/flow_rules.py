"""The rules of a flow made ready: the machine of its steps, and the model of each machine that its facts describe."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from wizard.domain.references import ActRef
from wizard.engine.safety.state_machines import RunMachine
from wizard.flow.model import Flow
from wizard.flow.model.acts import acts
from wizard.safety import Act, Ask, Barred, Belief, Model, Needs

__all__ = ["GAP", "LAPSE_AFTER", "LEFT_IN_USE", "LEFT_OUT_OF_USE", "NIGHT", "Rules"]

LEFT_IN_USE, LEFT_OUT_OF_USE = "left-in-use", "left-out-of-use"
"""The reaches of one who goes: what the machine must be when it is left."""

LAPSE_AFTER = 15 * 60.0
"""Seconds without a key, beyond the open step's own minutes, after which nobody is known to attend the machine."""

GAP = 60.0
"""Seconds that the program may not run before nobody is known to have attended: it looks at the clock more often."""


NIGHT = 4 * 3600.0
"""Seconds without a key after which anybody may have worked on the machine: then nothing is believed, as after a
restart.
"""


@dataclass(frozen=True, slots=True)
class Rules:
    """The flow, the machine of its steps, the facts on which the model depends, and the models made so far.

    ``restored``: how each condition is in a machine that is left in use, of those that some step puts back so by hand.
    """

    flow: Flow
    runs: RunMachine
    acts: tuple[Act, ...]
    deciding: tuple[str, ...]
    restored: Needs
    _models: dict[tuple[str | None, ...], Model] = field(default_factory=dict, repr=False, compare=False)
    _last: list[tuple[Mapping[str, str], Model]] = field(default_factory=list, repr=False, compare=False)

    @classmethod
    def of(cls, flow: Flow) -> Rules:
        """The rules of a flow; the last ones made serve as long as the flow is the same: cases play one flow
        often.
        """
        for made in _LAST:
            if made.flow is flow:
                return made
        every = acts(flow)
        applied = (*(c.applies for c in flow.conditions.values()), *(a.applies for a in every))
        deciding = tuple(sorted({fact for applies in applied for fact in applies}))
        rules = cls(flow, RunMachine(flow), every, deciding, _restored(flow, every))
        _LAST[:] = [rules]
        return rules

    def model(self, facts: Mapping[str, str]) -> Model:
        """The model of the machine that these facts describe, remembered: most events leave the facts the very same."""
        for known, model in self._last:
            if known is facts:
                return model
        key = tuple(map(facts.get, self.deciding))
        if key not in self._models:
            flow = self.flow
            self._models[key] = Model.of(flow.conditions.values(), flow.reaches.values(), self.acts, facts)
        self._last[:] = [(facts, self._models[key])]
        return self._models[key]

    def next_step(self, facts: Mapping[str, str], belief: Belief, act: ActRef) -> Ask | Barred | None:
        """What to ask before this act; None where all that it needs holds."""
        model = self.model(facts)
        known = model.acts.get(act)
        return model.next_step(belief, known.needs) if known is not None and known.needs else None


def _restored(flow: Flow, every: Iterable[Act]) -> Needs:
    """What a machine left in use needs, and some step has as its usual answer that it was brought about."""
    row = flow.reaches.get(LEFT_IN_USE)
    needs = row.needs if row is not None else {}
    by_hand = {
        name
        for act in every
        if act.establishes and act.usual is not None
        for name, values in act.usual.so.items()
        if name in act.may and name in needs and values <= needs[name]
    }
    return {name: values for name, values in needs.items() if name in by_hand}


_LAST: list[Rules] = []
