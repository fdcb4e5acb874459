"""A second opinion of the proof that nobody gets stuck (``wizard.safety.cover``), by brute force.

Stated: from each of them the needs can be met by answers, or it is said in words that they can't be (a latch stands,
or a part is known not to be sound). What isn't so comes with a witness, a list of moves that a test can follow.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from wizard.safety import changing
from wizard.safety.asking import Barred, Sought
from wizard.safety.form import Belief, Needs
from wizard.safety.kinds import BarredKind, MoveKind
from wizard.safety.model import Model
from wizard.safety.move import Move
from wizard.safety.scope import Scope, scope
from wizard.safety.tables import ActMasks, AnswerMasks, compile_needs

MOST = 200_000
"""Beliefs after which a search is given up: eight covers that may each be on, off or not known make 6,561 ways."""


@dataclass(frozen=True, slots=True)
class DeadEnd:
    """A belief from which some needs can't be met by answers, and nothing says so.

    ``needs`` is the act or reach that they are of. ``known`` is what is believed where the ``moves`` begin, beyond
    'nothing is known'. ``barred`` says where the rule of asking ends (always 'stuck'); None where it asks on for
    ever.
    """

    facts: Mapping[str, str]
    needs: str
    known: Belief
    moves: tuple[Move, ...]
    belief: Belief
    barred: Barred | None


@dataclass(slots=True)
class SearchResult:
    """What a search found.

    ``bars`` are the conditions that end it in words where it began with nothing known; ``stops`` the acts at which a
    belief was met from which only an answer that stops work leads to an end; ``asked`` the acts that were ever asked;
    ``given_up`` the needs of which there were too many beliefs, so that nothing is known of them.
    """

    searches: int = 0
    beliefs: int = 0
    dead_ends: list[DeadEnd] = field(default_factory=list)
    bars: set[tuple[BarredKind, str]] = field(default_factory=set)
    stops: set[str] = field(default_factory=set)
    asked: set[str] = field(default_factory=set)
    given_up: list[tuple[Mapping[str, str], str]] = field(default_factory=list)


def targets(model: Model) -> Iterator[tuple[str, Needs]]:
    """The needs of every reach and every act of a machine, with the id of the one that has them."""
    for reach in model.reaches.values():
        yield reach.id, reach.needs
    for act in model.acts.values():
        yield act.id, act.needs


def search(
    models: Iterable[tuple[Mapping[str, str], Model]], deep: bool = False, most: int = MOST
) -> SearchResult:
    """Search all needs of these machines, each given with its facts. The same search is made once.

    It begins with nothing known, and all that can happen does: alone, anew, shown, answered, undone. Since the rule
    of asking isn't monotone it begins too with one value of one condition known, for each of them; there what is
    asked is shown, answered and undone. ``deep``: there too all that can happen does, and work goes on after an
    answer that stops it, as it may on another day. That is ten times as much. After ``most`` beliefs one search is
    given up.
    """
    found = SearchResult()
    done: set[object] = set()
    for facts, model in models:
        for name, needs in targets(model):
            search_needs(found, (facts, model), (name, needs), done, deep, most)
    return found


def search_needs(
    found: SearchResult,
    machine: tuple[Mapping[str, str], Model],
    target: tuple[str, Needs],
    done: set[object],
    deep: bool = False,
    most: int = MOST,
) -> None:
    """Search one set of needs, with the id of what has them, and add to ``found``; unless it was ``done`` before."""
    facts, model = machine
    name, needs = target
    here = scope(model, compile_needs(model.tables.encoding, needs))
    key = same_search(here)
    if key not in done:
        done.add(key)
        found.searches += 1
        _Explorer(model, here, found, deep, most).run(facts, name)


def same_search(here: Scope) -> object:
    """What two scopes must have in common for a search of one to say all that a search of the other would.

    Two machines often differ in what plays no part: then one search does for both.
    """
    return (
        tuple((f.id, tuple(f.values)) for f in here.fields),
        tuple(act.id for act in here.acts),
        tuple((f.id, f.read(here.needs.allowed[f.id])) for f in here.fields if f.id in here.needs.allowed),
    )


class _Explorer:
    """One search: beliefs in the bits of its scope, each with the belief and the move that led to it first."""

    def __init__(self, model: Model, here: Scope, found: SearchResult, deep: bool, most: int) -> None:
        self.model, self.here, self.found = model, here, found
        self.deep, self.most = deep, most
        self.top = model.tables.encoding.top & here.mask
        self.moves = {act.id: _moves(act) for act in here.acts}
        self.came: dict[int, tuple[int, Move | None]] = {}
        self.todo: list[int] = []
        self.onward: dict[int, list[int]] = {}
        self.ends: set[int] = set()
        self.stopping: dict[int, str] = {}
        self.stuck: dict[int, Barred] = {}
        self.from_nothing = True

    def run(self, facts: Mapping[str, str], name: str) -> None:
        """Reach all there is, then report what leads to no end: of what is asked for ever, the nearest belief.

        Where it is given up a stuck belief is one all the same; that something is asked for ever can't be said.
        """
        start = self.model.tables.drift.settle(self.top)
        self.spread((start,), alone=True)
        self.from_nothing = False
        self.spread(self.single_values(), alone=self.deep)
        self.found.beliefs += len(self.came)
        over = len(self.came) > self.most
        if over:
            self.found.given_up.append((facts, name))
        for bad in (*self.stuck, *(() if over else self.lost()[:1])):
            known, moves = self.way(bad)
            self.found.dead_ends.append(
                DeadEnd(facts, name, known, moves, self.known(bad), self.stuck.get(bad))
            )

    def spread(self, starts: Iterable[int], alone: bool) -> None:
        """Reach all that these beliefs lead to; with ``alone`` also what comes of leaving the machine."""
        drift, reach = self.model.tables.drift, self.reach
        at = len(self.todo)
        for start in starts:
            reach(start, start, None)
        while at < len(self.todo) and len(self.todo) <= self.most:
            bits = self.todo[at]
            at += 1
            if alone:
                reach(drift.settle(drift.away(bits)), bits, _AWAY)
                reach(drift.settle(bits | self.top), bits, _ANEW)
            self.expand(bits)

    def single_values(self) -> Iterator[int]:
        """The beliefs in which one value of one condition is known and nothing else."""
        for f in self.here.fields:
            for bit in f.values.values():
                yield self.model.tables.drift.settle(self.top & ~f.all | bit)

    def reach(self, bits: int, origin: int, move: Move | None) -> None:
        """Note a belief, and where it came from if it is new."""
        if bits not in self.came:
            self.came[bits] = (origin, move)
            self.todo.append(bits)

    def expand(self, bits: int) -> None:
        """What comes of one belief by what is asked."""
        sought = self.model.asker.seek(bits, self.here.needs)
        if sought is None:
            self.ends.add(bits)
        elif sought[0] is None:
            self.ask(bits, sought[3][-1])
        else:
            self.note_barred(bits, sought)

    def note_barred(self, bits: int, sought: Sought) -> None:
        """Nothing can be asked: an end where that can be said, a flaw where it is stuck."""
        kind, f, allowed, way = sought
        if kind is None or kind is BarredKind.STUCK:
            acts = tuple(act.id for act in reversed(way))
            self.stuck[bits] = Barred(BarredKind.STUCK, f.id, f.read(bits), f.read(allowed), acts)
        elif self.from_nothing:
            self.found.bars.add((kind, f.id))
        self.ends.add(bits)

    def ask(self, bits: int, act: ActMasks) -> None:
        """The act is shown; then it is answered, or undone. What contradicts or stops leads to no end."""
        tables, mask = self.model.tables, self.here.mask
        settle, reach = tables.drift.settle, self.reach
        showing, forgetting, answering = self.moves[act.id]
        self.found.asked.add(act.id)
        shown = settle(bits | act.may & mask)
        reach(shown, bits, showing)
        reach(settle(shown | act.touched & self.top), shown, forgetting)
        onward = self.onward[bits] = []
        if marked := changing.ticked(tables, shown, act) if act.ticks else None:
            self.reach(marked[0] & mask, shown, Move(MoveKind.ANSWER, act.id, marked[1]))
            onward.append(marked[0] & mask)
        for said, move in answering:
            after, against = changing.answer(tables, shown, said)
            after &= mask
            if self.deep or not said.stop:
                reach(after, shown, move)
            if said.stop and not against:
                self.stopping[bits] = act.id
            elif not against:
                onward.append(after)

    def lost(self) -> list[int]:
        """The beliefs from which no answers lead to an end, in the order of reaching them."""
        before: dict[int, list[int]] = {}
        for bits, onward in self.onward.items():
            for after in onward:
                before.setdefault(after, []).append(bits)
        good = _back(before, self.ends)
        if len(good) == len(self.came):
            return []
        self.found.stops.update(act for bits, act in self.stopping.items() if bits not in good)
        good = _back(before, self.ends.union(self.stopping))
        return [bits for bits in self.came if bits not in good]

    def way(self, bits: int) -> tuple[Belief, tuple[Move, ...]]:
        """What is known where the way to this belief begins, and its moves."""
        moves: list[Move] = []
        start, move = self.came[bits]
        while move is not None:
            moves.append(move)
            bits = start
            start, move = self.came[bits]
        return self.known(bits), tuple(reversed(moves))

    def known(self, bits: int) -> Belief:
        """What these bits say beyond 'nothing is known'."""
        return {f.id: f.read(bits) for f in self.here.fields if bits & f.all != f.all & ~f.latch}


def _back(before: Mapping[int, list[int]], ends: Iterable[int]) -> set[int]:
    """All beliefs from which one of these ends is reached."""
    good = set(ends)
    todo = list(good)
    while todo:
        for bits in before.get(todo.pop(), ()):
            if bits not in good:
                good.add(bits)
                todo.append(bits)
    return good


def _moves(act: ActMasks) -> tuple[Move, Move, tuple[tuple[AnswerMasks, Move], ...]]:
    """Showing an act, forgetting what it touches, and each of its answers."""
    return (
        Move(MoveKind.SHOW, act.id),
        Move(MoveKind.FORGET, act.id),
        tuple((said, Move(MoveKind.ANSWER, act.id, said.id)) for said in act.answers),
    )


_AWAY = Move(MoveKind.AWAY)
_ANEW = Move(MoveKind.ANEW)
