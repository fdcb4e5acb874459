"""One claim of a flow: where it stands, what it says, and its one line of text, which is read back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum, unique
from functools import lru_cache

from wizard.domain.references import StepRef
from wizard.flowcheck.approval.claim_kinds import RULES_OF, Bearing, ClaimKind, Measure
from wizard.foreign.harmless import harmless

_SAYS = ": "
_IS = " = "
_AND = ", "
_KIND_OF = {kind.value: kind for kind in ClaimKind}
_MOST_WORDS = max(text.count(" ") + 1 for text in _KIND_OF)


@unique
class PlaceKind(StrEnum):
    """What a claim is made of. A step's ids are its text as a reference, then those of its answer."""

    FLOW = "flow"
    CONDITION = "condition"
    REACH = "reach"
    STOP = "stop"
    TOOL = "tool"
    LIMIT = "limit"
    FACT = "fact"
    VALUE = "value"
    INSPECTION = "inspection"
    STEP = "step"
    ANSWER = "answer"
    LEFT_ALONE = "left-alone"
    """An answer where several may be ticked, if it is left alone."""
    FAULT = "fault"
    REMEDY = "remedy"
    APPROACH = "approach"
    REGION = "region"
    """A region of a drawing."""


@dataclass(frozen=True, slots=True, order=True)
class ClaimPlace:
    """What a claim is made of: its kind, and the ids that lead there."""

    kind: PlaceKind
    ids: tuple[str, ...]

    def __str__(self) -> str:
        """As in 'reach terminals' or 'answer power.try hot'."""
        return " ".join((self.kind.value, *self.ids))

    @classmethod
    @lru_cache(maxsize=10_000)
    def read(cls, text: str) -> ClaimPlace:
        """The place of such a text; ValueError where it is none. Many claims are of one place: it is read once."""
        kind, *ids = text.split()
        found = cls(PlaceKind(kind), tuple(ids))
        if len(ids) not in _COUNTS[found.kind]:
            raise ValueError(f"no place: {text}")
        if found.kind in _OF_STEPS:
            StepRef.parse(ids[0])
        return found

    @property
    def step(self) -> StepRef | None:
        """The step that it is, or belongs to; None elsewhere."""
        return StepRef.parse(self.ids[0]) if self.kind in _OF_STEPS else None


_OF_STEPS = (PlaceKind.STEP, PlaceKind.ANSWER, PlaceKind.LEFT_ALONE)
_PAIRS = (PlaceKind.VALUE, PlaceKind.ANSWER, PlaceKind.LEFT_ALONE, PlaceKind.APPROACH, PlaceKind.REGION)
_COUNTS = {
    **dict.fromkeys(PlaceKind, (1,)), **dict.fromkeys(_PAIRS, (2,)), PlaceKind.LIMIT: (1, 2), PlaceKind.FLOW: (0,),
}  # fmt: skip
"""Kind of place -> how many ids lead there."""


@dataclass(frozen=True, slots=True)
class Claim:
    """What a flow says in one place: ``of`` a condition, a fact or the like, empty where there is none, with its
    ``values``. Where the kind is of a text, ``of`` is that text.
    """

    place: ClaimPlace
    kind: ClaimKind
    of: str = ""
    values: tuple[str, ...] = ()

    @property
    def bearing(self) -> Bearing:
        """Whether it asks for something, or lets something be."""
        return RULES_OF[self.kind].bearing

    @property
    def measure(self) -> Measure:
        """How its values are compared."""
        return RULES_OF[self.kind].measure

    @property
    def key(self) -> tuple[ClaimPlace, ClaimKind, str]:
        """What is the same of a claim before and after its values change."""
        return self.place, self.kind, self.of

    @property
    def says(self) -> str:
        """The line without its place."""
        of = f" {self.of}" if self.of else ""
        values = f"{_IS}{_AND.join(self.values)}" if self.values else ""
        return f"{self.kind.value}{of}{values}"

    def __str__(self) -> str:
        """As in 'reach terminals: needs dead = proved'."""
        return f"{self.place}{_SAYS}{self.says}"

    @classmethod
    def read(cls, text: str) -> Claim:
        """The claim of such a line; ValueError, with the line, where it is none."""
        place, found, rest = text.partition(_SAYS)
        words = rest.split(" ")
        texts = (" ".join(words[:count]) for count in range(min(len(words), _MOST_WORDS), 0, -1))
        kind = next((_KIND_OF[text] for text in texts if text in _KIND_OF), None)
        if not (found and place.split()) or kind is None:
            raise ValueError(f"no claim: {text}")
        of = rest.removeprefix(kind.value).removeprefix(" ")
        if RULES_OF[kind].text:
            return cls(ClaimPlace.read(place), kind, of)
        # What has no name of its own goes on with the sign at once: 'is shown at reach = tips'.
        of, found, values = f" {of}".partition(_IS) if of.startswith("= ") else of.partition(_IS)
        return cls(ClaimPlace.read(place), kind, of.strip(), tuple(values.split(_AND)) if found else ())


def claim(place: ClaimPlace, kind: ClaimKind, of: str = "", values: Iterable[str] = ()) -> Claim:
    """A claim as its line has it: harmless, the values sorted where their order says nothing."""
    measure = RULES_OF[kind].measure
    ordered = measure in (Measure.ORDER, Measure.LEAST, Measure.MOST, Measure.GRAVITY)
    return Claim(place, kind, harmless(of), tuple(values if ordered else sorted(values)))
