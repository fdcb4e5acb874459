"""The machine as it stands, for one machine: beliefs in, beliefs out. Inside a belief is one integer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from wizard.domain.references import ActRef
from wizard.safety import changing
from wizard.safety.asking import Ask, Asker, Barred
from wizard.safety.form import Act, Belief, Condition, Effect, Needs, Reach, fits
from wizard.safety.tables import Tables, compile_answer, compile_needs


@dataclass(frozen=True, slots=True)
class Contradiction:
    """An answer that can't be so if what was believed is: the condition, what was believed, what was said."""

    condition: str
    before: frozenset[str]
    text: frozenset[str]


@dataclass(frozen=True, slots=True)
class Model:
    """What may be believed of one machine, and what follows from it. Made by :meth:`of`.

    A belief that is handed in may leave conditions out, or name some that this machine doesn't have: of the first
    nothing is known, the others are ignored. It is settled before anything is made of it, so a journal that claims
    more than the rules allow is not believed. What is handed back names every condition of the machine, in order.
    ValueError names a value that a condition doesn't have; KeyError an act or a condition that isn't here.
    """

    conditions: Mapping[str, Condition]
    reaches: Mapping[str, Reach]
    acts: Mapping[ActRef, Act]
    tables: Tables = field(repr=False)
    asker: Asker = field(repr=False)
    unknown: Belief = field(repr=False)

    @classmethod
    def of(
        cls,
        conditions: Iterable[Condition],
        reaches: Iterable[Reach],
        acts: Iterable[Act],
        facts: Mapping[str, str],
    ) -> Model:
        """The model of the machine with these facts: the conditions and acts that apply, in their given order.

        The order of ``conditions`` and of ``acts`` is the order of asking. What is said of a condition that doesn't
        apply is left out.
        """
        here = tuple(c for c in conditions if fits(c.applies, facts))
        doing = {a.id: a for a in acts if fits(a.applies, facts)}
        tables = Tables.of(here, doing.values())
        unknown = tables.encoding.decode(tables.drift.settle(tables.encoding.top))
        return cls(
            {c.id: c for c in here}, {r.id: r for r in reaches}, doing, tables, Asker.of(tables), unknown
        )

    def top(self) -> Belief:
        """Nothing is known: of each condition all values but its latches."""
        return self.unknown

    def settle(self, belief: Belief) -> dict[str, frozenset[str]]:
        """What has lost what it rests on is widened by what it may turn into."""
        return self._out(self._in(belief))

    def show(self, belief: Belief, act: ActRef) -> dict[str, frozenset[str]]:
        """The act stands on the screen: whatever may come of it may be so from now on."""
        return self._out(changing.show(self.tables, self._in(belief), self.tables.acts[act]))

    def answer(
        self, belief: Belief, act: ActRef, so: Needs
    ) -> tuple[dict[str, frozenset[str]], tuple[Contradiction, ...]]:
        """The act was answered. Of a condition in its ``may`` what is said is put; of others what is believed
        narrows.

        Where nothing would be left, old and new are kept and the contradiction is named. A latch that is said is put;
        one that is believed stays.
        """
        return self._learn(belief, so, self.tables.acts[act].changes)

    def learn(self, belief: Belief, so: Needs) -> tuple[dict[str, frozenset[str]], tuple[Contradiction, ...]]:
        """Something is said that no act has changed: by a fact of the machine, or a fault decided."""
        return self._learn(belief, so, 0)

    def put(self, belief: Belief, so: Needs) -> dict[str, frozenset[str]]:
        """It is so from now on, whatever was believed: what a stop says. A latch that is believed stays."""
        encoding = self.tables.encoding
        return self._learn(belief, so, sum(f.all for f in encoding.fields))[0]

    def away(self, belief: Belief) -> dict[str, frozenset[str]]:
        """Nobody attended for a while: each value may have turned into what it turns into alone."""
        return self._out(changing.away(self.tables, self._in(belief)))

    def anew(self, belief: Belief) -> dict[str, frozenset[str]]:
        """Nothing is known any more but which latches stand."""
        return self._out(changing.anew(self.tables, self._in(belief)))

    def forget(self, belief: Belief, conditions: Iterable[str]) -> dict[str, frozenset[str]]:
        """These conditions may be anything; a latch that is believed stays."""
        by_id = self.tables.encoding.by_id
        touched = sum({by_id[c].all for c in conditions if c in by_id})
        return self._out(changing.forget(self.tables, self._in(belief), touched))

    def touches(self, act: ActRef) -> tuple[str, ...]:
        """The conditions that an act may change or its answers speak of: what undoing it forgets."""
        touched = self.tables.acts[act].touched
        return tuple(f.id for f in self.tables.encoding.fields if f.all & touched)

    def release(self, belief: Belief, condition: str) -> dict[str, frozenset[str]]:
        """The latch of this condition is released to 'not asked': all its values but latches."""
        return self._out(
            changing.release(self.tables, self._in(belief), self.tables.encoding.by_id[condition])
        )

    def latched(self, belief: Belief) -> tuple[str, ...]:
        """The conditions on which a latch stands, in order."""
        bits = self._in(belief)
        return tuple(f.id for f in self.tables.encoding.fields if bits & f.latch)

    def needs(self, needs: Needs) -> dict[str, frozenset[str]]:
        """These needs without what is on conditions that this machine doesn't have, in order."""
        return {f.id: needs[f.id] for f in self.tables.encoding.fields if f.id in needs}

    def holds(self, belief: Belief, needs: Needs) -> bool:
        """True when every machine that this one could be satisfies the needs."""
        return not self._in(belief) & compile_needs(self.tables.encoding, needs).forbidden

    def missing(self, belief: Belief, needs: Needs) -> tuple[str, ...]:
        """The conditions that may be otherwise than needed, in order."""
        lacking = self._in(belief) & compile_needs(self.tables.encoding, needs).forbidden
        return tuple(f.id for f in self.tables.encoding.fields if lacking & f.all)

    def next_step(self, belief: Belief, needs: Needs) -> Ask | Barred | None:
        """The act to ask now so that the needs come to hold, or why none can be asked; None where they hold."""
        return self.asker.next(self._in(belief), compile_needs(self.tables.encoding, needs))

    def chain(self, belief: Belief, needs: Needs) -> tuple[ActRef, ...] | Barred:
        """The acts that will be asked until the needs hold, if every answer is the usual one."""
        return self.asker.chain(self._in(belief), compile_needs(self.tables.encoding, needs))

    def _learn(
        self, belief: Belief, so: Needs, changes: int
    ) -> tuple[dict[str, frozenset[str]], tuple[Contradiction, ...]]:
        bits = self._in(belief)
        after, against = changing.answer(
            self.tables, bits, compile_answer(self.tables.encoding, Effect("", so), changes)
        )
        return self._out(after), tuple(Contradiction(f.id, f.read(bits), so[f.id]) for f in against)

    def _in(self, belief: Belief) -> int:
        return self.tables.drift.settle(self.tables.encoding.encode(belief))

    def _out(self, bits: int) -> dict[str, frozenset[str]]:
        return self.tables.encoding.decode(bits)


def changed(before: Belief, after: Belief) -> dict[str, frozenset[str]]:
    """The resulting sets of the conditions of which other values are believed than before: what an event carries."""
    return {c: values for c, values in after.items() if before.get(c) != values}
