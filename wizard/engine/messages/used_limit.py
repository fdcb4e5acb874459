"""A limit of a service sheet as the journal holds it: what judges, with edges in SI, without the flow's own form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.domain.vocabulary import LimitStatus, Verdict


@dataclass(frozen=True, slots=True)
class UsedBand:
    """A stretch of the scale below ``top``, or up to it where ``inclusive``; without a top the rest of it."""

    id: str
    verdict: Verdict
    inclusive: bool
    top: float | None = None


@dataclass(frozen=True, slots=True)
class UsedLimit:
    """The limit ``id`` of the flow as a sheet has it: its source, the machines that it applies to, its bands."""

    id: str
    says: str
    unit: str
    source: str
    status: LimitStatus
    applies: Mapping[str, tuple[str, ...]]
    bands: tuple[UsedBand, ...]
