"""A belief from which asking comes to no end, and the way there: what a gap of the proof is on one machine.

Looked for nearest first: nothing known, then one value known, then all that answers, breaks and undoing lead to.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.domain.references import ActRef
from wizard.safety import changing
from wizard.safety.asking import Asker, Barred, after_usual
from wizard.safety.belief_encoding import ConditionBits
from wizard.safety.form import Belief, Needs
from wizard.safety.kinds import BarredKind, MoveKind
from wizard.safety.model import Model
from wizard.safety.move import Move
from wizard.safety.scope import Scope, scope
from wizard.safety.tables import ActMasks, Tables, compile_needs

MOST = 3000
"""Beliefs looked at before it is given up."""


@dataclass(frozen=True, slots=True)
class Trap:
    """``known`` is believed where the ``moves`` begin, beyond 'nothing is known'; they lead to the trap.

    Then the acts of ``round`` are asked for ever, each answered as usual; with ``barred`` nothing can be asked.
    """

    known: Belief
    moves: tuple[Move, ...]
    round: tuple[ActRef, ...]
    barred: Barred | None = None


def trap(model: Model, needs: Needs, most: int = MOST) -> Trap | int:
    """The nearest trap on the way to these needs; how many beliefs were looked at where none of them is one."""
    here = scope(model, compile_needs(model.tables.encoding, needs))
    finder = _Finder(model, here)
    for count, (bits, known, moves) in enumerate(finder.beliefs(), 1):
        if (found := finder.endless(bits)) is not None:
            way, again, barred = found
            return Trap(known, (*moves, *way), again, barred)
        if count >= most:
            return count
    return len(finder.seen)


class _Finder:
    """One search, nearest first. ``good`` are the beliefs from which asking is known to end."""

    def __init__(self, model: Model, here: Scope) -> None:
        self.tables: Tables = model.tables
        self.asker: Asker = model.asker
        self.here = here
        self.seen: set[int] = set()
        self.good: set[int] = set()

    def beliefs(self) -> Iterator[tuple[int, Belief, tuple[Move, ...]]]:
        """Every belief with what is known at its beginning, and its moves."""
        top = self.tables.encoding.top & self.here.mask
        seeds: list[tuple[int, Belief]] = [(top, {})]
        seeds += [
            (top & ~f.all | bit, {f.id: f.read(bit)}) for f in self.here.fields for bit in f.values.values()
            if not bit & f.latch
        ]  # fmt: skip
        todo: list[tuple[int, Belief, tuple[Move, ...]]] = [
            (self.tables.drift.settle(bits), known, ()) for bits, known in seeds
        ]
        for bits, known, moves in todo:
            if bits in self.seen:
                continue
            self.seen.add(bits)
            yield bits, known, moves
            todo += ((after, known, (*moves, *more)) for after, more in self.onward(bits))

    def onward(self, bits: int) -> Iterator[tuple[int, tuple[Move, ...]]]:
        """What may come next of a belief: the act that is asked, shown and answered or undone; or nobody attends."""
        sought = self.asker.seek(bits, self.here.needs)
        if sought is None or sought[0]:
            return
        act = sought[3][-1]
        shown = changing.show(self.tables, bits, act)
        showing = Move(MoveKind.SHOW, act.id)
        for text in act.answers:
            if not text.stop:
                after, _ = changing.answer(self.tables, shown, text)
                yield after & self.here.mask, (showing, Move(MoveKind.ANSWER, act.id, text.id))
        top = self.tables.encoding.top & self.here.mask
        forgotten = changing.forget(self.tables, shown, act.touched)
        yield forgotten & self.here.mask, (showing, Move(MoveKind.FORGET, act.id))
        yield changing.away(self.tables, bits) & self.here.mask, (Move(MoveKind.AWAY),)
        yield self.tables.drift.settle(bits | top), (Move(MoveKind.ANEW),)

    def endless(self, bits: int) -> tuple[tuple[Move, ...], tuple[ActRef, ...], Barred | None] | None:
        """How asking from a belief, answered as usual, comes to no end: the moves before it, and the round; or
        None.
        """
        way: list[int] = []
        acts: list[tuple[ActMasks, str]] = []
        while bits not in self.good:
            if bits in way:
                at = way.index(bits)
                return _moves(acts[:at]), tuple(act.id for act, _ in acts[at:]), None
            way.append(bits)
            sought = self.asker.seek(bits, self.here.needs)
            if sought is None or sought[0] not in (None, BarredKind.STUCK):
                break
            kind, f, allowed, line = sought
            after = None if kind else after_usual(self.tables, bits, line[-1])
            if after is None:
                return None if _stops(line, kind) else (_moves(acts), (), _barred(f, bits, allowed, line))
            acts.append((line[-1], self._usual(bits, line[-1])))
            bits = after & self.here.mask
        self.good.update(way)
        return None

    def _usual(self, bits: int, act: ActMasks) -> str:
        """The id of the answer that is taken: the usual one, or the first that doesn't contradict."""
        shown = changing.show(self.tables, bits, act)
        if act.ticks:
            marked = changing.ticked(self.tables, shown, act)
            return marked[1] if marked else ""
        fitting = (a for a in sorted(act.answers, key=lambda a: not a.usual) if not a.stop)
        return next((a.id for a in fitting if not changing.answer(self.tables, shown, a)[1]), "")


def _moves(acts: list[tuple[ActMasks, str]]) -> tuple[Move, ...]:
    """Showing and answering these acts."""
    return tuple(
        move
        for act, answer in acts
        for move in (Move(MoveKind.SHOW, act.id), Move(MoveKind.ANSWER, act.id, answer))
    )


def _stops(line: list[ActMasks], kind: BarredKind | None) -> bool:
    """Whether only an answer that stops work is left at the act that is asked."""
    return kind is None and any(text.stop for text in line[-1].answers)


def _barred(f: ConditionBits, bits: int, allowed: int, line: list[ActMasks]) -> Barred:
    """Why nothing can be asked."""
    return Barred(
        BarredKind.STUCK, f.id, f.read(bits), f.read(allowed), tuple(act.id for act in reversed(line))
    )
