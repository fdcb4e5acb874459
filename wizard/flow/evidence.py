"""The judging half of the model: tools, limits and their bands, findings, faults and remedies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Tool:
    """A measuring tool: ``resolution`` and standard ``uncertainty`` in SI of ``unit``'s dimension.

    ``needs`` is the safety state in which it may touch the machine; '' any.
    """

    id: str
    says: str
    unit: str
    resolution: float
    uncertainty: float
    needs: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """One band of a limit: values up to its upper edge ``top`` (SI; None for the last).

    ``inclusive`` says whether the edge itself belongs to the band (``up_to``) or to the next (``below``).
    """

    id: str
    verdict: str
    top: float | None = None
    inclusive: bool = False
    source: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """The bands a reading is judged by. ``status`` is P (published), P* (recalled), C (common practice), E (estimate),
    or S (a service sheet). ``unit`` is how people read the edges, which are SI.
    """

    id: str
    says: str
    unit: str
    bands: tuple[Band, ...]
    source: str
    status: str
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Finding:
    """A named fact that answers establish or rule out.

    ``weights`` maps a fault to P(finding | that fault alone), leak left out; ``leak`` is P(finding | no fault).
    """

    id: str
    says: str
    leak: float
    weights: Mapping[str, float]
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Part:
    """A part to fit. ``count`` is how many make a set; where ``per`` names a machine fact, its value is the count."""

    id: str
    says: str
    count: int = 1
    per: str = ""


@dataclass(frozen=True, slots=True)
class Remedy:
    """What mends a fault.

    ``do`` is one act a line, done in one of ``states``. ``companions`` say what to look at or replace along with it.
    ``recheck`` names inspections, or ``inspection.step`` to begin at, that must be measured again after it.
    """

    says: str
    do: tuple[str, ...]
    minutes: float
    states: tuple[str, ...]
    parts: tuple[Part, ...] = ()
    companions: tuple[str, ...] = ()
    caution: tuple[tuple[str, str], ...] = ()
    people: int = 1
    owe: tuple[str, ...] = ()
    pay: tuple[str, ...] = ()
    lift: tuple[str, ...] = ()
    recheck: tuple[str, ...] = ()
    worth: str = ""
    risk: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """A cause. ``share`` maps a machine kind to percent of complaints; a kind left out can't have it.

    ``alone``: confirmed together with nothing else (normal for its kind). ``bar``: forbidden once it is confirmed.
    ``confirm`` names the steps (``inspection.step``) one of which must have been answered before a part is fitted.
    ``plain`` is the sentence for the customer.
    """

    id: str
    says: str
    plain: str
    share: Mapping[str, float]
    remedy: Remedy
    alone: bool = False
    bar: tuple[str, ...] = ()
    hazard: str = ""
    confirm: tuple[str, ...] = ()
