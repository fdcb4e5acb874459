"""What must be asked next, by one fixed rule.

The first need that is missing, in the library's order; the first act in order that establishes it (a look only where
it may already be so); that act's own needs first. No plan is weighed: the order is that of the library, which is that
of EN 50110-1 (disconnect, secure, verify, drain, protect). What bars among the needs is said before anything is
asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from wizard.domain.references import ActRef
from wizard.safety.belief_encoding import ConditionBits
from wizard.safety.changing import answer, show, ticked
from wizard.safety.kinds import BarredKind
from wizard.safety.tables import ActMasks, AnswerMasks, NeedMasks, Tables

LONGEST = 400
"""Acts after which a chain is taken for endless. The longest way known takes about thirty."""


@dataclass(frozen=True, slots=True)
class Ask:
    """The act to ask now, the condition that it is asked for, and the values that are needed of it.

    ``because`` are the acts that it is for, the nearest first; empty where it is for the needs themselves.
    """

    act: ActRef
    condition: str
    values: frozenset[str]
    because: tuple[ActRef, ...] = ()


@dataclass(frozen=True, slots=True)
class Barred:
    """Why nothing may be asked: the condition, the values believed of it, those that are needed, and what it is for.

    ``because`` are the acts that need it, the nearest first; empty where the needs themselves do.
    """

    kind: BarredKind
    condition: str
    values: frozenset[str]
    needed: frozenset[str]
    because: tuple[ActRef, ...] = ()


Sought = tuple[BarredKind | None, ConditionBits, int, list[ActMasks]]
"""The bar if any, the condition, its allowed bits, and the acts on the way to it, the outermost first."""


Row = tuple[ConditionBits, int, ActMasks | None, ActMasks | None]
"""A condition, its allowed bits, the act that establishes them where one may be so, the act where none may."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What is asked for some needs: of each of their bits that must not be believed, what follows if it is.

    ``firsts``: bit -> its row.
    ``lasting``: condition and allowed bits of those that no act brings about once they are known bad.
    """

    firsts: Mapping[int, Row]
    lasting: tuple[tuple[int, ConditionBits], ...]


@dataclass(frozen=True, slots=True)
class Asker:
    """The rule of asking for one machine: its tables, and the acts that may be asked on their own, in order."""

    tables: Tables
    order: tuple[ActMasks, ...]
    plans: dict[int, Plan] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def of(cls, tables: Tables) -> Asker:
        """The rule over the acts that may be asked on their own."""
        return cls(tables, tuple(act for act in tables.acts.values() if act.establishes))

    def establisher(self, f: ConditionBits, allowed: int, possible: bool) -> ActMasks | None:
        """The first act whose usual answer gives ``allowed`` bits alone: a look only where that is ``possible``."""
        for act in self.order:
            gives = act.usual.get(f.id, 0)
            if gives and not gives & ~allowed and (possible or act.changes & f.all):
                return act
        return None

    def row(self, f: ConditionBits, allowed: int) -> Row:
        """The condition, its allowed bits, and who establishes them where they may be so, and where they can't."""
        return f, allowed, self.establisher(f, allowed, True), self.establisher(f, allowed, False)

    def plan(self, needs: NeedMasks) -> Plan:
        """The plan for these needs, made once."""
        known = self.plans.get(needs.forbidden)
        if known is None:
            by_id = self.tables.encoding.by_id
            rows = [self.row(by_id[c], allowed) for c, allowed in needs.allowed.items()]
            firsts = {bit: row for row in rows for bit in row[0].values.values() if bit & ~row[1]}
            lasting = tuple((allowed, f) for f, allowed, _, act in rows if act is None)
            known = self.plans[needs.forbidden] = Plan(firsts, lasting)
        return known

    def next(self, bits: int, needs: NeedMasks) -> Ask | Barred | None:
        """The act to ask now, or why none can be; None where all needs hold."""
        found = self.seek(bits, needs)
        if found is None:
            return None
        kind, f, allowed, way = found
        acts = tuple(act.id for act in reversed(way))
        if kind:
            return Barred(kind, f.id, f.read(bits), f.read(allowed), acts)
        return Ask(acts[0], f.id, f.read(allowed), acts[1:])

    def seek(self, bits: int, needs: NeedMasks) -> Sought | None:
        """As :meth:`next`, in bits."""
        latches, plans = self.tables.encoding.latches, self.plans
        way: list[ActMasks] = []
        sought: Sought | None = None
        while missing := bits & needs.forbidden:
            plan = plans.get(needs.forbidden) or self.plan(needs)
            if latched := missing & latches:
                f, allowed, _, _ = plan.firsts[latched & -latched]
                return BarredKind.LATCH, f, allowed, way
            for allowed, f in plan.lasting:
                if not bits & allowed:
                    return BarredKind.KNOWN_BAD, f, allowed, way
            f, allowed, may, must = plan.firsts[missing & -missing]
            act = may if bits & allowed else must
            if act is None or act in way:
                return BarredKind.STUCK, f, allowed, way
            way.append(act)
            sought = (None, f, allowed, way)
            needs = act.needs
        return sought

    def chain(self, bits: int, needs: NeedMasks) -> tuple[ActRef, ...] | Barred:
        """The acts that will be asked if every answer is the usual one, or why that doesn't come to an end."""
        acts: list[ActRef] = []
        while (found := self.seek(bits, needs)) is not None:
            kind, f, allowed, way = found
            after = None if kind or len(acts) == LONGEST else after_usual(self.tables, bits, way[-1])
            if after is None:
                because = tuple(act.id for act in reversed(way))
                return Barred(kind or BarredKind.STUCK, f.id, f.read(bits), f.read(allowed), because)
            acts.append(way[-1].id)
            bits = after
        return tuple(acts)


def after_usual(tables: Tables, bits: int, act: ActMasks) -> int | None:
    """The belief after the usual answer; where that would contradict what is known, after the first that doesn't.

    Where each would, after the usual one as far as it fits what is known: of several ticks those that are true. None
    where every answer stops work.
    """
    shown = show(tables, bits, act)
    if act.ticks:
        marked = ticked(tables, shown, act)
        return marked[0] if marked else None
    going = sorted((text for text in act.answers if not text.stop), key=lambda each: not each.usual)
    for text in going:
        after, against = answer(tables, shown, text)
        if not against:
            return after
    return answer(tables, shown, _fitting(shown, going[0]))[0] if going else None


def _fitting(bits: int, text: AnswerMasks) -> AnswerMasks:
    """The answer without what contradicts the belief."""
    return replace(text, cut=tuple((f, mask) for f, mask in text.cut if bits & mask))
