"""The ways through an inspection, asked of the engine's own machine of steps; nothing of safety yet."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from wizard.engine.draft import Rules
from wizard.flow.model import END, Answer, Flow, Inspection, Step

UNABLE = "unable"
STOP = "stop:"


@dataclass(frozen=True, slots=True)
class Way:
    """One way on from a step. ``goes`` is a step, END or ``stop:ID``; ``spent``: the answer had been given ``most``
    times before; ``chosen`` is the answer itself, None for 'unable'.
    """

    step: str
    answer: str
    goes: str
    spent: bool = False
    chosen: Answer | None = None

    @property
    def name(self) -> tuple[str, str, bool]:
        """What tells it from every other way of its inspection."""
        return self.step, self.answer, self.spent


def _ways(rules: Rules, inspection: Inspection, step: Step) -> Iterator[Way]:
    for answer in step.answers:
        for spent in (False, True) if answer.most else (False,):
            goes = rules.runs.after(inspection.id, step.id, answer.id, spent) or END
            then = answer.then if spent else ""
            stop = then.removeprefix(STOP) if then.startswith(STOP) else answer.stop
            yield Way(step.id, answer.id, STOP + stop if stop else goes, spent, answer)
    goes = rules.runs.after(inspection.id, step.id, UNABLE) or END
    yield Way(step.id, UNABLE, STOP + step.unable.stop if step.unable.stop else goes)


@dataclass(slots=True)
class Maps:
    """The ways of every inspection of a flow, made once and as they are needed."""

    rules: Rules
    _made: dict[str, Mapping[str, tuple[Way, ...]]] = field(default_factory=dict)
    _passages: dict[str, tuple[Way, ...]] = field(default_factory=dict)

    @property
    def flow(self) -> Flow:
        """The flow."""
        return self.rules.flow

    def of(self, inspection: str) -> Mapping[str, tuple[Way, ...]]:
        """Step -> the ways on from it."""
        if inspection not in self._made:
            found = self.flow.inspections[inspection]
            self._made[inspection] = {s.id: tuple(_ways(self.rules, found, s)) for s in found.steps}
        return self._made[inspection]

    def path(
        self,
        inspection: str,
        goal: Callable[[Way], bool],
        start: str = "",
        allowed: Callable[[Way], bool] = lambda _way: True,
    ) -> tuple[Way, ...] | None:
        """The shortest path from ``start`` (the first step) whose last way meets ``goal``; None if there is none."""
        ways = self.of(inspection)
        first = start or next(iter(ways))
        came: dict[str, tuple[Way, ...]] = {first: ()}
        queue = deque([first])
        while queue:
            here = queue.popleft()
            for way in ways[here]:
                if not allowed(way):
                    continue
                if goal(way):
                    return (*came[here], way)
                if way.goes in ways and way.goes not in came:
                    came[way.goes] = (*came[here], way)
                    queue.append(way.goes)
        return None

    def spell(self, inspection: str, path: tuple[Way, ...]) -> tuple[str, ...]:
        """The path as lines of a witness; before a way that is spent, the answer's rounds."""
        lines: list[str] = []
        for way in path:
            if way.spent and way.chosen is not None:
                back = self._round(inspection, way)
                lines += back * way.chosen.most
            lines.append(f"{inspection}.{way.step}: {way.answer}")
        return tuple(lines)

    def _round(self, inspection: str, spent: Way) -> list[str]:
        """The lines of one round of a loop: the answer once, and back to its step."""
        assert spent.chosen is not None
        once = Way(spent.step, spent.answer, spent.chosen.next, chosen=spent.chosen)
        if once.goes == spent.step:
            return [f"{inspection}.{once.step}: {once.answer}"]
        back = self.path(inspection, lambda w: w.goes == spent.step, once.goes, _plain)
        return [f"{inspection}.{w.step}: {w.answer}" for w in (once, *(back or ()))]

    def passage(self, gate: str) -> tuple[Way, ...]:
        """A good way through a gate to its end; empty when there is none."""
        if gate not in self._passages:
            path = self.path(
                gate, lambda w: w.goes == END, allowed=lambda w: _plain(w) and good(self.flow, gate, w)
            )
            self._passages[gate] = path or ()
        return self._passages[gate]

    def passing(self, gate: str) -> tuple[str, ...]:
        """The lines of a good way through a gate to its end."""
        return self.spell(gate, self.passage(gate))


def _plain(way: Way) -> bool:
    return not way.spent and way.chosen is not None and not way.goes.startswith(STOP)


def good(flow: Flow, inspection: str, way: Way) -> bool:
    """True for the answer that the flow marks usual or ``good``, and for a reading that passes.

    Never for one that bars, fails or is counted. What a flow says nothing of isn't good: 'the plug is scorched'
    can't be known from 'the breaker is locked' by its form.
    """
    chosen = way.chosen
    if chosen is None:
        return False
    step = flow.inspections[inspection].step(way.step)
    assert step is not None
    if chosen.bar or chosen.verdict in ("watch", "fail") or chosen.most:
        return False
    if step.kind in ("measure", "compute"):
        return chosen.id == "pass"
    return chosen.usual or chosen.good
