"""From all beliefs the needs are met: the rule of asking, followed for sets of beliefs.

A chain of asking is followed for all beliefs together, split where the rule splits them: is the first condition as it
is needed, may it be so, is it known not to be. Each act is done and answered as usual, or by the first answer that
doesn't contradict what is believed. Since asking begins anew after each answer, what an act disturbs of the needs
that it is asked for sends the set back to the beginning. Every chain ends if no set comes back within one that it
came from.

What can't be shown this way is a gap: either a real circle, or beliefs that never come together. A search says which.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from wizard.domain.references import ActRef
from wizard.safety.cover.blocks import Block, narrowed
from wizard.safety.cover.flow_blocks import ActBlocks, AnswerBlocks, FlowBlocks, NeedBlocks, split
from wizard.safety.form import Needs

ROUNDS = 12
"""How often a set of beliefs may be sent back, each time a narrower one, before it is given up."""

STEPS = 20_000
"""Acts followed for one set of needs before it is given up; the largest known takes a few hundred."""


@dataclass(frozen=True, slots=True)
class ProofGap:
    """A set of beliefs from which an end could not be shown: ``sets`` of them, and the acts on the way there.

    ``condition`` is the one that can't be brought about, empty where what is asked comes back to where it was.
    """

    sets: int
    acts: tuple[ActRef, ...]
    condition: str = ""


class _Open(Exception):
    """Raised with the gap where an end can't be shown."""

    def __init__(self, sets: int, acts: Iterable[ActRef], condition: str = "") -> None:
        super().__init__(condition)
        self.gap = ProofGap(sets, tuple(acts), condition)


@dataclass(frozen=True, slots=True)
class CoverResult:
    """What became of a set of needs. ``gap``: None where it is proved. ``bars``: the conditions that end it in words,
    known to be bad and changed by no act; ``stops``: acts at which only an answer that stops work fits some belief.
    ``steps``: acts followed.
    """

    gap: ProofGap | None
    bars: frozenset[str]
    stops: frozenset[ActRef]
    steps: int


@dataclass(slots=True)
class _Notes:
    """What was met with while needs were being met: see ``CoverResult``; the beliefs that escaped, the acts done.

    ``reached``: all bits of the beliefs that were come to on the way.
    """

    bars: set[str] = field(default_factory=set)
    stops: set[ActRef] = field(default_factory=set)
    escaped: list[int] = field(default_factory=list)
    acts: set[ActBlocks] = field(default_factory=set)
    reached: int = 0

    def add(self, other: _Notes) -> None:
        """Take in what was met with on the way to a need of this."""
        self.bars |= other.bars
        self.stops |= other.stops
        self.escaped += other.escaped
        self.acts |= other.acts
        self.reached |= other.reached


_Key = tuple[int, int, bool]
"""What a way depends on: the needs, by their place in memory, of the beliefs what it can touch, is there a frame."""


@dataclass(frozen=True, slots=True)
class _Way:
    """A way that was followed: the beliefs that it ended with, and what was met with on it.

    ``framed`` are the bits of its frame that it came to. A frame is only ever compared with beliefs come to, so any
    frame that has the same of ``notes.reached`` leads the same way.
    """

    met: int
    framed: int
    notes: _Notes


@dataclass(slots=True)
class Cover:
    """The proof for one flow. ``meets`` is asked once for each set of needs.

    ``known``: the ways that were followed. Many acts have the same needs, so a way is followed once from the beliefs
    that differ in what it touches, and for the frames that differ in what it comes to: what else is believed stays as
    it is. ``done``: the acts that were done, each from the same beliefs once, with whether some of them stopped work.
    """

    compiled: FlowBlocks
    notes: _Notes = field(default_factory=_Notes)
    known: dict[_Key, list[_Way]] = field(default_factory=dict)
    widened: dict[int, int] = field(default_factory=dict)
    done: dict[tuple[int, int], tuple[tuple[int, ...], bool]] = field(default_factory=dict)
    steps: int = 0

    def meets(self, needs: Needs, start: int = 0) -> CoverResult:
        """Whether these needs are met from all beliefs of all machines, or from those of ``start``."""
        self.notes, self.steps = _Notes(), 0
        gap: ProofGap | None = None
        try:
            self._meet(self.compiled.rows(needs), start or self.compiled.top, 0, ())
        except _Open as found:
            gap = found.gap
        return CoverResult(gap, frozenset(self.notes.bars), frozenset(self.notes.stops), self.steps)

    def _meet(
        self, rows: tuple[NeedBlocks, ...], start: int, frame: int, doing: tuple[ActBlocks, ...]
    ) -> int:
        """The beliefs in which all of ``rows`` hold, come to from ``start``.

        ``frame`` are the bits with which something that this is done for would no longer be as it was: what gets one
        of them escapes to the beginning.
        """
        if not start & self.compiled.missing(rows):
            return start
        span = self.compiled.span(rows)
        if start & frame & ~span:
            return self._noting(rows, start, frame, doing)[0]
        ways = self.known.setdefault((id(rows), start & span, bool(frame)), [])
        for way in ways:
            notes = way.notes
            if frame & notes.reached == way.framed and notes.acts.isdisjoint(doing):
                break
        else:
            met, notes = self._noting(rows, start, frame, doing)
            within, reached = [each & span for each in notes.escaped], notes.reached & span
            kept = _Notes(notes.bars, notes.stops, within, notes.acts, reached)
            ways.append(_Way(met & span, frame & reached, kept))
            return met
        met, rest = way.met, start & ~span
        if not notes.acts:
            self.notes.add(notes)
            self.notes.reached |= rest
            return met | rest if met else 0
        escaped = [self._settled(each | rest) for each in notes.escaped]
        self.notes.add(_Notes(notes.bars, notes.stops, escaped, notes.acts, notes.reached | rest))
        return self._settled(met | rest) if met else 0

    def _noting(
        self, rows: tuple[NeedBlocks, ...], start: int, frame: int, doing: tuple[ActBlocks, ...]
    ) -> tuple[int, _Notes]:
        """As ``_meet``, followed anew, with what was met with on the way."""
        outer, self.notes = self.notes, _Notes(reached=start)
        try:
            return self._from(rows, start, frame, doing, (), []), self.notes
        finally:
            outer.add(self.notes)
            self.notes = outer

    def _from(
        self,
        rows: tuple[NeedBlocks, ...],
        sets: int,
        frame: int,
        doing: tuple[ActBlocks, ...],
        line: tuple[int, ...],
        proved: list[int],
    ) -> int:
        """As ``_meet``, from a set that was sent back from those of ``line``. ``proved`` are done with."""
        met, back, aside = self._once_through(rows, sets, frame, doing)
        if not frame:
            back += self.notes.escaped
            self.notes.escaped = []
        for each in aside:
            met |= self._from(rows, each, frame, doing, line, proved)
        for again in sorted(back, key=int.bit_count, reverse=True):
            if any(not again & ~known for known in proved):
                continue
            if len(line) >= ROUNDS or any(not again & ~earlier for earlier in line):
                raise _Open(again, (d.id for d in doing))
            met |= self._from(rows, again, frame, doing, (*line, again), proved)
            proved.append(again)
        return met

    def _once_through(
        self, rows: tuple[NeedBlocks, ...], sets: int, frame: int, doing: tuple[ActBlocks, ...]
    ) -> tuple[int, list[int], list[int]]:
        """Go through the needs once, in order: the beliefs in which all hold, those that must begin again, and those
        of machines without a condition that were put aside.
        """
        back: list[int] = []
        aside: list[int] = []
        before = 0
        if not sets & self.compiled.missing(rows):
            return sets, back, aside
        sets = self._unbarred(rows, sets)
        for row in rows:
            if not sets:
                break
            before |= row.missing
            if not sets & row.missing:
                if sets & row.endings:
                    sets = _resting(row, sets, aside)
                continue
            held = narrowed(sets, row.block.bits, ~row.missing)
            if held & row.endings:
                held = _resting(row, held, aside)
            for kind, acts in row.kinds:
                part = narrowed(sets, row.block.bits, kind)
                if part and row.where:
                    part = split(part, row.where)[0]
                if not part:
                    continue
                inner = frame | before & ~row.missing | row.present & ~kind
                for after in self._establish(row, part, acts, inner, frame, doing):
                    if after & before:
                        back += _broken(after, before, (r.block for r in rows))
                        after = _intact(after, before, self.compiled)
                    held |= after
            sets = held
        return sets, back, aside

    def _unbarred(self, rows: tuple[NeedBlocks, ...], sets: int) -> int:
        """These beliefs without those that are barred: a condition known to be bad that no act brings about."""
        for row in rows:
            if not row.must and sets & row.outside:
                self.notes.bars.add(row.block.id)
                sets = narrowed(sets, row.block.bits, ~row.outside)
                if not sets:
                    break
        return sets

    def _establish(
        self,
        row: NeedBlocks,
        part: int,
        acts: tuple[ActBlocks, ...],
        inner: int,
        frame: int,
        doing: tuple[ActBlocks, ...],
    ) -> Iterator[int]:
        """The beliefs after the act that establishes a need; those outside of ``frame`` alone."""
        parts = [part]
        for act in acts:
            waiting: list[int] = []
            for each in parts:
                here = each
                if act.where:
                    here, others = split(each, act.where)
                    waiting += others
                if here:
                    yield from self._do(act, here, row, inner, frame, doing)
            parts = waiting
            if not parts:
                return
        if part & row.outside and not part & row.possible:
            self.notes.bars.add(row.block.id)
            return
        raise _Open(parts[0], (d.id for d in doing), row.block.id)

    def _do(
        self, act: ActBlocks, sets: int, row: NeedBlocks, inner: int, frame: int, doing: tuple[ActBlocks, ...]
    ) -> Iterator[int]:
        """The beliefs after an act, what it needs met before."""
        self.steps += 1
        if act in doing or self.steps > STEPS:
            raise _Open(sets, (*(d.id for d in doing), act.id), row.block.id)
        self.notes.acts.add(act)
        ready = self._meet(act.rows, sets, inner, (*doing, act))
        for after in self._after(act, ready) if ready else ():
            self.notes.reached |= after
            if not after & frame:
                yield after
                continue
            self.notes.escaped += _broken(after, frame, self.compiled.blocks.values())
            if kept := _intact(after, frame, self.compiled):
                yield kept

    def _after(self, act: ActBlocks, ready: int) -> tuple[int, ...]:
        """The beliefs after an act that was ready to be done; from those equal in what it touches, made once."""
        span = self.compiled.act_span(act)
        key, rest = (id(act), ready & span), ready & ~span
        found = self.done.get(key)
        if found is None:
            before, self.notes.stops = self.notes.stops, set()
            try:
                made = tuple(each & span for each in self._answered(act, self._shown(act, ready)))
                found = self.done[key] = made, bool(self.notes.stops)
            finally:
                self.notes.stops = before
        afters, stops = found
        if stops:
            self.notes.stops.add(act.id)
        return tuple(each | rest for each in afters)

    def _shown(self, act: ActBlocks, sets: int) -> int:
        """The beliefs once an act stands on the screen."""
        for block, mask in act.may:
            sets = block.joined(sets, mask)
        return self._settled(sets) if act.may else sets

    def _answered(self, act: ActBlocks, sets: int) -> Iterator[int]:
        """The beliefs after an answer that contradicts none of them: the usual one where it fits."""
        if act.ticks:
            yield from self._ticked(act, sets)
            return
        todo = [sets]
        for saying in act.answers:
            if saying.stop:
                continue
            unfit: list[int] = []
            for each in todo:
                fit, others = self._said(saying, each)
                unfit += others
                if fit:
                    yield fit
            todo = unfit
            if not todo:
                return
        if not any(saying.stop for saying in act.answers):
            raise _Open(todo[0], (act.id,))
        self.notes.stops.add(act.id)

    def _said(self, saying: AnswerBlocks, sets: int) -> tuple[int, list[int]]:
        """The beliefs after an answer, and those that it contradicts."""
        against: list[int] = []
        for block, _, outside in saying.cuts:
            if sets & outside:
                against.append(narrowed(sets, block.bits, outside))
                sets = narrowed(sets, block.bits, ~outside)
                if not sets:
                    return 0, against
        for block, mask, _ in saying.cuts:
            sets = block.cut(sets, mask)
        for block, mask in saying.puts:
            sets = block.put(sets, mask)
        return self._settled(sets), against

    def _ticked(self, act: ActBlocks, sets: int) -> Iterator[int]:
        """The beliefs after ticking all that may be as it should be."""
        changing = {block.id for block, _ in act.may}
        for block, sayings in act.ticks:
            if block.id in changing:
                sets = block.put(sets, sayings[0])
                continue
            left, made = sets & block.bits, 0
            for mask in sayings:
                outside = block.outside(mask)
                if fit := left & ~outside:
                    made |= block.cut(fit, mask) & block.bits
                left &= outside
            if left:
                raise _Open(sets & ~block.bits | left, (act.id,), block.id)
            sets = sets & ~block.bits | made
        yield self._settled(sets)

    def _settled(self, sets: int) -> int:
        """The beliefs in which what has lost what it rests on is widened; each different one is made once."""
        rest, own = sets & ~self.compiled.resting, sets & self.compiled.resting
        made = self.widened.get(own)
        if made is None:
            made = self.widened[own] = self._widened(own)
        return made | rest

    def _widened(self, sets: int) -> int:
        """As ``_settled``, on the bits of what rests on others and what it rests on."""
        for support in self.compiled.supports:
            if sets & support.endings and sets & support.losing:
                surely = any(
                    sets & ending and not sets & base.bits & ~ending for base, ending in support.bases
                )
                wide = support.block.widened(sets)
                sets = wide if surely else sets | wide
        return sets


def _resting(row: NeedBlocks, sets: int, aside: list[int]) -> int:
    """These beliefs, in all of which a need holds, without those in which what it rests on is lost: they never are.

    Where the machine may not have the condition, those beliefs are put ``aside``.
    """
    own = sets & row.block.bits
    here = own & row.present
    if not here or here & ~row.resting or not sets & row.endings:
        return sets
    if own != here:
        aside.append(sets & ~here)
        sets &= ~(own & ~here)
    for block, ending in row.bases:
        sets = narrowed(sets, block.bits, ~ending)
        if not sets:
            return 0
    return sets


def _broken(sets: int, frame: int, blocks: Iterable[Block]) -> Iterator[int]:
    """The beliefs that have a bit of ``frame``, each in one part."""
    if not sets & frame:
        return
    for block in blocks:
        if own := sets & frame & block.bits:
            yield sets & ~block.bits | own
            sets = narrowed(sets, block.bits, ~own)
            if not sets:
                return


def _intact(sets: int, frame: int, compiled: FlowBlocks) -> int:
    """The beliefs that have no bit of ``frame``."""
    if not sets & frame:
        return sets
    for block in compiled.blocks.values():
        if own := sets & frame & block.bits:
            sets = narrowed(sets, block.bits, ~own)
            if not sets:
                return 0
    return sets
