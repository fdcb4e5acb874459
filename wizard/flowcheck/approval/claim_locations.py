"""Where the claims of a flow stand in its files: file and path, as far as the index knows it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from wizard.domain.flow_vocabulary import ThingKind
from wizard.flow.model.steps import DONE
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.drawing_parser import reach_place
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation
from wizard.flowcheck.approval.claim import Claim, ClaimPlace, PlaceKind
from wizard.flowcheck.approval.claim_kinds import ClaimKind

Located = tuple[str, int, int]
"""File, line, column."""

_THINGS: Mapping[PlaceKind, ThingKind] = {
    PlaceKind.CONDITION: ThingKind.CONDITION,
    PlaceKind.STOP: ThingKind.STOP,
    PlaceKind.TOOL: ThingKind.TOOL,
    PlaceKind.FACT: ThingKind.FACT,
    PlaceKind.FAULT: ThingKind.FAULT,
    PlaceKind.LIMIT: ThingKind.LIMIT,
}
_KEYS: Mapping[ClaimKind, str] = {
    ClaimKind.VALUES: "values", ClaimKind.HOLDS_WHILE: "while", ClaimKind.ALONE: "alone", ClaimKind.LATCH: "latch",
    ClaimKind.PASSING: "passing", ClaimKind.LAST: "last", ClaimKind.ONLY_WHERE: "applies", ClaimKind.HANDS: "hands",
    ClaimKind.BADGE: "short", ClaimKind.URGENT: "urgent", ClaimKind.PAPER: "handover", ClaimKind.NEEDS: "needs",
    ClaimKind.BEGINS: "begins", ClaimKind.MAY: "may", ClaimKind.WARNS: "warns", ClaimKind.VERBS: "verbs",
    ClaimKind.SHOWN: "reach", ClaimKind.LEAST_REACH: "reach", ClaimKind.REACH_BESIDES: "reach",
    ClaimKind.CAUTION: "caution", ClaimKind.WAIT: "wait", ClaimKind.WAIT_WHERE: "wait", ClaimKind.UNABLE: "unable",
    ClaimKind.VOUCHED: "reach_because", ClaimKind.UNATTENDED: "minutes", ClaimKind.MANY: "many",
    ClaimKind.JUDGED: "limit", ClaimKind.COMPUTED: "compute", ClaimKind.INPUT: "compute", ClaimKind.SETS: "so",
    ClaimKind.SAYS: "so", ClaimKind.STOPS: "stop", ClaimKind.STOPS_AFTER: "most", ClaimKind.ONE_OF: "value",
    ClaimKind.LATER: "later", ClaimKind.SIGHT: "sight", ClaimKind.OPEN: "required", ClaimKind.APPLIES: "applies",
    ClaimKind.OWED: "owed", ClaimKind.PROVES_ONLY: "repairs", ClaimKind.PROVED: "prove", ClaimKind.LEFT: "leave",
    ClaimKind.HANDED_OVER: "handover", ClaimKind.PROCEDURES: "procedures", ClaimKind.HAZARD: "hazard",
    ClaimKind.CONFIRMED: "confirm", ClaimKind.RECHECK: "recheck", ClaimKind.KNOWN_BY: "step", ClaimKind.PUTS: "so",
    ClaimKind.OUTDOORS: "outdoors", ClaimKind.RELEASE: "release", ClaimKind.MAKE_SAFE: "make_safe",
    ClaimKind.CALL: "call", ClaimKind.CONSENT: "consent", ClaimKind.UNCERTAIN: "uncertainty", ClaimKind.BAND: "band",
    ClaimKind.CONTRADICTED: "contradicted", ClaimKind.AGAIN: "again", ClaimKind.ASKED: "ask",
    ClaimKind.WARNED: "caution", ClaimKind.CALLED: "says", ClaimKind.VALUE_READ: "values",
    ClaimKind.BADGE_READ: "short", ClaimKind.PAPER_READ: "handover", ClaimKind.KNOWN_AS: "known",
    ClaimKind.KNOWN_OF: "known_of", ClaimKind.LEAVES_OUT: "leaves_out",
    ClaimKind.LACKS: "without",
}  # fmt: skip
"""Kind -> the key that says it; what a step reads stands at ``reading``."""


@dataclass(slots=True)
class ClaimLocations:
    """The tables of a flow by the places of its claims; found once, when first asked for."""

    index: FlowIndex
    _tables: dict[ClaimPlace, TableLocation] = field(default_factory=dict, repr=False)
    _reaches: dict[str, tuple[TableLocation, ...]] = field(default_factory=dict, repr=False)

    def of(self, claim: Claim) -> Located:
        """Where a claim stands; of one that is gone where it would stand, as near as there is anything."""
        if claim.place.kind is PlaceKind.REGION:
            return self._region(claim.place)
        location = self._table(claim)
        path = self._path(location, claim)
        return self.index.source.place(location.file, location.at(path))

    def base(self, reach: str) -> str:
        """The reach that a reach comes from; empty where it comes from none."""
        self._find()
        return next((str(t.table["from"]) for t in self._reaches.get(reach, ()) if "from" in t.table), "")

    def _path(self, location: TableLocation, claim: Claim) -> Path:
        """The way to the claim within its table."""
        left = claim.place.kind is PlaceKind.LEFT_ALONE
        key = "unticked_so" if left else _KEYS.get(claim.kind, "reading")
        return (key, claim.of) if claim.of else (key,)

    def _table(self, claim: Claim) -> TableLocation:
        """The table of a claim, or the nearest that is there: its step's, its inspection's, the head of the flow."""
        self._find()
        place = claim.place
        if place.kind is PlaceKind.REACH and place.ids[0] in self._reaches:
            return self._reach(claim)
        if place in self._tables:
            return self._tables[place]
        around = [ClaimPlace(PlaceKind.FACT, place.ids[:1]), ClaimPlace(PlaceKind.FAULT, place.ids[:1])]
        if place.step is not None:
            around = [ClaimPlace(PlaceKind.STEP, place.ids[:1])]
            around += [ClaimPlace(PlaceKind.INSPECTION, (place.step.inspection,))]
        elif place.kind is PlaceKind.LIMIT:
            around = [ClaimPlace(PlaceKind.LIMIT, place.ids[:1])]
        return next((self._tables[p] for p in around if p in self._tables), self.index.head())

    def _reach(self, claim: Claim) -> TableLocation:
        """The table that says a claim of a reach: its own, or that of a reach that it comes from. Of one that is gone
        the flow's own row of it, where it has one, else the library's.
        """
        name, seen = claim.place.ids[0], set[str]()
        while name in self._reaches and name not in seen:
            for table in self._reaches[name]:
                message = table.table.get(_KEYS[claim.kind])
                if message and (not claim.of or claim.of in message):
                    return table
            seen.add(name)
            name = self.base(name)
        return self._reaches[claim.place.ids[0]][-1]

    def _region(self, place: ClaimPlace) -> Located:
        drawing, region = place.ids
        if drawing not in self.index.source.drawn:
            return flow_files.MAIN, 1, 1
        file, text = self.index.source.drawn[drawing]
        return file, *reach_place(text, region)

    def _find(self) -> None:
        if not self._tables:
            self._tables.update(self._all())
            for file in (flow_files.MACHINE, flow_files.MAIN):
                for location in self.index.tables(file, "reach"):
                    name = location.table["id"]
                    self._reaches[name] = (*self._reaches.get(name, ()), location)

    def _all(self) -> Iterator[tuple[ClaimPlace, TableLocation]]:
        yield ClaimPlace(PlaceKind.FLOW, ()), self.index.head()
        for kind, thing in _THINGS.items():
            count: dict[str, int] = {}
            for location in self.index.declared(thing):
                name = location.table["id"]
                count[name] = count.get(name, 0) + 1
                if count[name] == 1:
                    yield ClaimPlace(kind, (name,)), location
                yield ClaimPlace(kind, (name, str(count[name]))), location
        for location in self.index.declared(ThingKind.FACT):
            for value in location.below("value"):
                yield ClaimPlace(PlaceKind.VALUE, (location.table["id"], value.table["id"])), value
        for location in self.index.declared(ThingKind.FAULT):
            remedy = location.within("remedy")
            yield ClaimPlace(PlaceKind.REMEDY, (location.table["id"],)), remedy
            for approach in remedy.below("approach"):
                yield ClaimPlace(PlaceKind.APPROACH, (location.table["id"], approach.table["id"])), approach
        for location, inspection in self.index.inspections():
            yield ClaimPlace(PlaceKind.INSPECTION, (inspection.id,)), location
        for at in self.index.steps():
            yield from _answers(at)


def _answers(at: StepLocation) -> Iterator[tuple[ClaimPlace, TableLocation]]:
    """A step, and its answers: by their ids, by their verdicts, or the step itself where it is only done."""
    name = str(at.ref)
    yield ClaimPlace(PlaceKind.STEP, (name,)), at.location
    yield ClaimPlace(PlaceKind.ANSWER, (name, DONE)), at.location
    for key in ("answer", "on"):
        for answer in at.location.below(key):
            known = str(answer.table.get("id") or answer.table.get("verdict"))
            yield ClaimPlace(PlaceKind.ANSWER, (name, known)), answer
            yield ClaimPlace(PlaceKind.LEFT_ALONE, (name, known)), answer
