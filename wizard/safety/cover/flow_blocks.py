"""Needs, acts and machines of a whole flow, made into blocks once: for all machines together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from wizard.domain.references import ActRef
from wizard.safety.cover.blocks import ABSENT, Block, narrowed
from wizard.safety.form import Act, Applies, Condition, Effect, Needs

Where = tuple[tuple[int, int], ...]
"""For which machines: the bits of each fact, and those of them that fit."""


@dataclass(frozen=True, slots=True, eq=False)
class NeedBlocks:
    """One need: of a condition the beliefs that miss it, by whether it may be so. ``present``: all but not being
    there.

    ``may`` and ``must`` are the acts that establish it, where it may be so and where it is known not to be.
    ``resting`` are the beliefs as needed that don't outlive what they rest on, and ``bases`` what that is: a block,
    and the beliefs with which it ends; ``endings`` all of those together.
    """

    block: Block
    missing: int
    possible: int
    outside: int
    where: Where
    may: tuple[ActBlocks, ...] = ()
    must: tuple[ActBlocks, ...] = ()
    resting: int = 0
    bases: tuple[tuple[Block, int], ...] = ()

    kinds: tuple[tuple[int, tuple[ActBlocks, ...]], ...] = ()
    endings: int = 0
    present: int = 0
    """The bits of the block but that of not being there."""


@dataclass(frozen=True, slots=True, eq=False)
class AnswerBlocks:
    """An answer: what it puts, what it narrows, and whether work stops."""

    id: str
    stop: bool
    puts: tuple[tuple[Block, int], ...]
    cuts: tuple[tuple[Block, int, int], ...]
    """Condition, values, and the bits of the beliefs that have none of them."""


@dataclass(slots=True, eq=False)
class ActBlocks:
    """An act that may be asked on its own. ``rows`` are its needs; ``ticks`` where several may be ticked: of each
    condition what is said of it, the healthy machine's first.
    """

    id: ActRef
    where: Where
    needs: Needs
    may: tuple[tuple[Block, int], ...]
    answers: tuple[AnswerBlocks, ...]
    ticks: tuple[tuple[Block, tuple[int, ...]], ...] = ()
    rows: tuple[NeedBlocks, ...] = ()
    usual: Mapping[str, int] = field(default_factory=dict)
    bits: int = 0

    def bits_read(self) -> int:
        """All bits of the facts that decide whether it is there, and of what it may change or speaks of."""
        blocks = [block for block, _ in self.may] + [block for block, _ in self.ticks]
        for masks in self.answers:
            blocks += [block for block, _ in masks.puts] + [block for block, *_ in masks.cuts]
        bits = 0
        for own in (*(block.bits for block in blocks), *(fact for fact, _ in self.where)):
            bits |= own
        return bits


@dataclass(frozen=True, slots=True, eq=False)
class SupportBlocks:
    """A condition that rests on others: what that is, each with the beliefs that end it, and all of those together.

    ``losing`` are the beliefs of the condition that would widen.
    """

    block: Block
    bases: tuple[tuple[Block, int], ...]
    endings: int
    losing: int


@dataclass(slots=True)
class FlowBlocks:
    """All machines of a flow in blocks. ``facts``: fact -> its values; empty where it may be not asked."""

    conditions: Mapping[str, Condition]
    blocks: dict[str, Block] = field(default_factory=dict)
    facts: dict[str, Block] = field(default_factory=dict)
    doings: tuple[ActBlocks, ...] = ()
    supports: tuple[SupportBlocks, ...] = ()
    bases: dict[str, tuple[tuple[Block, int], ...]] = field(default_factory=dict)
    top: int = 0
    resting: int = 0
    """All bits of what rests on something, and of what it rests on."""
    known: dict[tuple[tuple[str, frozenset[str]], ...], tuple[NeedBlocks, ...]] = field(default_factory=dict)
    single: dict[tuple[str, frozenset[str]], NeedBlocks] = field(default_factory=dict)
    """Each need of one condition, made once."""
    spans: dict[int, int] = field(default_factory=dict)
    misses: dict[int, int] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        conditions: Mapping[str, Condition],
        acts: Iterable[Act],
        facts: Mapping[str, tuple[str, ...]],
    ) -> FlowBlocks:
        """Everything in blocks: each condition, and each fact with its values."""
        made = cls(conditions)
        shift = 0
        for name, values in facts.items():
            made.facts[name] = Block.of_fact(name, values, shift)
            shift += len(values)
        for condition in conditions.values():
            made.blocks[condition.id] = block = Block.of(condition, shift)
            shift += block.width
        made.top = (1 << shift) - 1
        for block in made.blocks.values():
            if not conditions[block.id].applies:
                made.top &= ~(ABSENT << block.shift)
        made.supports = tuple(made._supports())
        for support in made.supports:
            made.resting |= support.block.bits | sum(base.bits for base, _ in support.bases)
        made.bases = {support.block.id: support.bases for support in made.supports}
        made.doings = tuple(made._doing(act) for act in acts if act.establishes and act.usual)
        for doing in made.doings:
            doing.rows = made.rows(doing.needs)
            doing.bits = doing.bits_read()
        return made

    def machines(self, sets: int) -> dict[str, frozenset[str]]:
        """The values of each fact in a set of beliefs."""
        own = {fact: (sets & block.bits) >> block.shift for fact, block in self.facts.items()}
        return {
            fact: frozenset(v for v, bit in block.values.items() if bit & own[fact])
            for fact, block in self.facts.items()
        }

    def example(self, sets: int) -> dict[str, frozenset[str]]:
        """One belief of a set: of each condition the widest that it has; what may be anything is left out."""
        found = {}
        for block in self.blocks.values():
            own = (sets & block.bits) >> block.shift
            widest = max((s for s in range(block.width) if own >> s & 1), key=int.bit_count)
            if 0 < widest < block.width - 1:
                found[block.id] = frozenset(v for v, bit in block.values.items() if bit & widest)
        return found

    def where(self, applies: Applies) -> Where:
        """The machines that this is for, as bits of facts; a fact that no machine has fits none."""
        found = []
        for fact, values in applies.items():
            block = self.facts.get(fact)
            fits = sum(bit for v, bit in block.values.items() if v in values) << block.shift if block else 0
            found.append((block.bits if block else 0, fits))
        return tuple(found)

    def rows(self, needs: Needs) -> tuple[NeedBlocks, ...]:
        """The rows of these needs in the library's order, with who establishes each."""
        key = tuple((c, needs[c]) for c in self.blocks if c in needs)
        if key not in self.known:
            for need in key:
                if need not in self.single:
                    self.single[need] = self._row(*need)
            self.known[key] = tuple(self.single[need] for need in key)
        return self.known[key]

    def missing(self, rows: tuple[NeedBlocks, ...]) -> int:
        """The bits of all beliefs in which one of these needs doesn't hold."""
        found = self.misses.get(id(rows))
        if found is None:
            found = 0
            for row in rows:
                found |= row.missing
            self.misses[id(rows)] = found
        return found

    def span(self, rows: tuple[NeedBlocks, ...]) -> int:
        """All bits that the way to these needs can read or change: their own, those of the acts that may be asked for
        them and for those acts, and of what rests on them or they rest on.
        """
        found = self.spans.get(id(rows))
        if found is None:
            found = self.spans[id(rows)] = self._supported(_touched(rows))
        return found

    def act_span(self, act: ActBlocks) -> int:
        """All bits that an act by itself can read or change, and of what rests on them or they rest on."""
        found = self.spans.get(id(act))
        if found is None:
            found = self.spans[id(act)] = self._supported(act.bits)
        return found

    def _supported(self, bits: int) -> int:
        """These bits with those of all that rests on them, and of what that rests on."""
        more = bits
        for support in self.supports:
            bases = sum(base.bits for base, _ in support.bases)
            if bits & (support.block.bits | bases):
                more |= support.block.bits | bases
        return bits if more == bits else self._supported(more)

    def _row(self, condition: str, allowed: frozenset[str]) -> NeedBlocks:
        block = self.blocks[condition]
        mask = block.mask(allowed)
        bases = self.bases.get(condition, ())
        may = tuple(d for d in self.doings if _gives(d, block, mask))
        must = tuple(d for d in may if any(b is block for b, _ in d.may))
        possible, outside = block.possible(mask), block.outside(mask)
        kinds = ((possible | outside, may),) if may == must else ((possible, may), (outside, must))
        return NeedBlocks(
            block, possible | outside, possible, outside, self.where(self.conditions[condition].applies),
            may, must, block.lost(mask), bases, kinds, sum(ending for _, ending in bases),
            block.bits & ~(ABSENT << block.shift),
        )  # fmt: skip

    def _supports(self) -> Iterator[SupportBlocks]:
        """Yield what rests on others, each after all that it rests on, with the beliefs that end it."""
        left = {c: [b for b in self.conditions[c].rests_on if b in self.blocks] for c in self.blocks}
        while left:
            ready = [c for c, bases in left.items() if not any(b in left for b in bases)]
            for c in ready:
                bases = left.pop(c)
                rests = self.conditions[c].rests_on
                if bases:
                    block = self.blocks[c]
                    endings = tuple((self.blocks[b], self._ending(b, rests[b])) for b in bases)
                    yield SupportBlocks(
                        block, endings, sum(e for _, e in endings), block.lost(block.width - 1)
                    )

    def _ending(self, base: str, holds: frozenset[str]) -> int:
        block = self.blocks[base]
        return block.bits & ~block.within(block.mask(holds))

    def _doing(self, act: Act) -> ActBlocks:
        usual = act.usual.so if act.usual else {}
        may = tuple((self.blocks[c], self.blocks[c].mask(act.may[c])) for c in self.blocks if c in act.may)
        changing = {block.id for block, _ in may}
        masks = sorted(act.answers, key=lambda each: not each.usual)
        return ActBlocks(
            act.id, self.where(act.applies), act.needs, may, tuple(self._saying(e, changing) for e in masks),
            tuple(self._ticks(act)), usual={c: b.mask(usual[c]) for c, b in self.blocks.items() if c in usual},
        )  # fmt: skip

    def _saying(self, effect: Effect, changing: set[str]) -> AnswerBlocks:
        pairs = [(b, b.mask(effect.so[b.id])) for b in self.blocks.values() if b.id in effect.so]
        return AnswerBlocks(
            effect.id,
            effect.stop,
            tuple((b, m) for b, m in pairs if b.id in changing),
            tuple((b, m, b.outside(m)) for b, m in pairs if b.id not in changing),
        )

    def _ticks(self, act: Act) -> Iterator[tuple[Block, tuple[int, ...]]]:
        """Yield what ticks say of each condition, where each condition has one answer that speaks of it."""
        for tick in act.ticks:
            block = self.blocks.get(tick.condition)
            if block is not None:
                masks = [block.mask(values) for values in (tick.given, tick.left) if values]
                yield block, tuple(masks if tick.usual else reversed(masks))


def _touched(rows: Iterable[NeedBlocks]) -> int:
    """The bits of these needs, and of all acts on the way to them."""
    bits = 0
    seen: set[NeedBlocks | ActBlocks] = set()
    todo = list(rows)
    while todo:
        row = todo.pop()
        if row in seen:
            continue
        seen.add(row)
        bits |= row.block.bits | sum(fact for fact, _ in row.where)
        for act in {*row.may, *row.must} - seen:
            seen.add(act)
            bits |= act.bits
            todo += act.rows
    return bits


def _gives(doing: ActBlocks, block: Block, mask: int) -> bool:
    """Whether the usual answer of an act gives these values alone."""
    masks = doing.usual.get(block.id, 0)
    return bool(masks) and not masks & ~mask


def split(sets: int, where: Where) -> tuple[int, list[int]]:
    """The beliefs of the machines that fit, and the others; 0 and none where there are none."""
    others: list[int] = []
    for bits, fits in where:
        if not fits:
            return 0, [*others, sets]
        out = narrowed(sets, bits, bits & ~fits)
        if out:
            others.append(out)
        sets = narrowed(sets, bits, fits)
        if not sets:
            break
    return sets, others
