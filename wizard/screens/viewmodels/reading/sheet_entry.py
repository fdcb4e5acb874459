"""A service sheet typed in: a limit of the flow with other edges, and the sheets that lie ready in a folder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from wizard.documents.text import limit_text
from wizard.errors import UsageError
from wizard.flow.model import Band, Flow, Limit, LimitStatus, fits, limit_id
from wizard.measure.quantities import units
from wizard.screens.text.shared_sentences import WHICH_SHEET


def own_limits(flow: Flow, facts: dict[str, str]) -> tuple[Limit, ...]:
    """The flow's limits for this machine, each with an edge to type, by what they say.

    Those that safety is judged by are not offered: what is safe to touch is no maker's choice.
    """
    safety = {limit_id(s) for i in flow.inspections.values() if i.procedure for s in i.steps}
    known = [li for key, versions in flow.limits.items() if key not in safety for li in versions]
    found = [li for li in known if fits(li.applies, facts)]
    return tuple(sorted((li for li in found if edges(li)), key=lambda li: li.says))


def edges(limit: Limit) -> tuple[str, ...]:
    """What is asked, an edge a question: 'fail below (now 30 N)'."""
    return tuple(
        f"{band.verdict} {'up to' if band.inclusive else 'below'} (now {limit_text.edge(band.top, limit.unit)})"
        for band in limit.bands
        if band.top is not None
    )


def from_typed(own: Limit, typed: Sequence[str], source: str) -> Limit:
    """The limit with the edges typed, in its unit where none is written; an empty one keeps the flow's.

    The bands keep their ids and verdicts, so that what they say of faults stays. ValueError in plain words when
    something is no number, the edges don't rise, nothing was typed, or no source is named.
    """
    if not source.strip():
        raise ValueError(WHICH_SHEET)
    if not any(text.strip() for text in typed):
        raise ValueError("Type at least one edge.")
    given = iter(typed)
    bands = tuple(
        band if band.top is None else _moved(band, _edge(next(given, ""), band.top, own.unit))
        for band in own.bands
    )
    tops = [b.top for b in bands if b.top is not None]
    if any(high <= low for low, high in pairwise(tops)):
        words = ", ".join(limit_text.edge(t, own.unit) for t in tops)
        raise ValueError(f"The edges must rise, and these don't: {words}.")
    return replace(own, bands=bands, source=source.strip(), status=LimitStatus.SHEET)


def _moved(band: Band, top: float) -> Band:
    """The band with another upper edge, which belongs to it or not as before."""
    return replace(band, up_to=top, source="") if band.inclusive else replace(band, below=top, source="")


def _edge(text: str, own: float, unit: str) -> float:
    return units.parse(text, unit) if text.strip() else own


def files(folder: Path) -> tuple[Path, ...]:
    """The sheets in a folder by name; none where the folder isn't there. UsageError if it can't be looked into."""
    try:
        return tuple(sorted(p for p in folder.glob("*.toml") if p.is_file()))
    except OSError as error:
        why = error.strerror or str(error)
        raise UsageError(f"{folder}: can't be looked into ({why}). Type the limits instead.") from error
