"""A session judged once more, as lines and as a table for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wizard.documents.text import limit_text
from wizard.domain.counting import plural
from wizard.domain.probability import percent
from wizard.domain.vocabulary import Verdict
from wizard.engine.guidance.session_ranking import RankedFault
from wizard.flow.model import Flow, Limit
from wizard.review.rejudging import Rejudged, StepChange

LEADING = 3
"""How many faults of a ranking are written."""


def lines_of(one: Rejudged, flow: Flow) -> Iterator[str]:
    """What differs, step by step, and which fault would have led."""
    (then, was), (now, version) = one.flows
    by = f"{now} {version}" if then == now else f"{now} {version} instead of {then} {was}"
    yield (
        f"Session {one.session}, by {by}: {plural(one.judged, 'answer')} judged once more, "
        f"{len(one.changes) or 'none'} otherwise."
    )
    for change in one.changes:
        yield from (f"  {line}" for line in _change(change, flow))
    if one.changes:
        yield f"  Ranking at the decision, then: {_ranks(one.before)}."
        yield f"  Ranking at the decision, now:  {_ranks(one.after)}."
    if one.decided is not None:
        yield f"  Decided then: {', '.join(one.decided) or 'no fault'}."


def _change(change: StepChange, flow: Flow) -> Iterator[str]:
    verdicts = (
        f": {_word(change.before)} then, {_word(change.after)} now" if change.before or change.after else ""
    )
    yield f"{change.where}{verdicts}. {change.title}"
    if change.why:
        yield f"  {change.why}"
    for when, limit in zip(("then", "now"), change.limits, strict=True):
        if limit is not None and (change.limits[0] != change.limits[1] or when == "now"):
            yield f"  {when}: {limit.says}: {limit_text.bands(limit)} ({limit_text.source(limit)})"
    limit = change.limits[1]
    for item in change.outcome.items if change.outcome is not None and limit is not None else ():
        name = f"{item.name}: " if item.name else ""
        yield f"  {name}{limit_text.value(item, limit.unit if limit else '')}, {_word(item.verdict)}"
    for finding, (old, new) in (change.findings or {}).items():
        says = flow.findings[finding].says if finding in flow.findings else finding
        yield f"  {says}: {_evidence(old)} then, {_evidence(new)} now"


def _word(verdict: Verdict | None) -> str:
    return str(verdict) if verdict is not None else "no verdict"


def _evidence(e: float) -> str:
    return "nothing said" if e == 0.5 else f"{percent(e)} likely seen"


def _ranks(ranking: tuple[RankedFault, ...]) -> str:
    if not ranking:
        return "none, since the kind of machine is not known"
    return "; ".join(f"{r.says} {percent(r.probability)}" for r in ranking[:LEADING])


def table_of(one: Rejudged, flow: Flow) -> dict[str, Any]:
    """The same for programs."""
    (then, was), (now, version) = one.flows
    return {
        "session": one.session,
        "flow": {"then": {"id": then, "version": was}, "now": {"id": now, "version": version}},
        "judged": one.judged,
        "changes": [_row(change) for change in one.changes],
        "ranking": {"then": _table(one.before), "now": _table(one.after)},
        "decided": list(one.decided) if one.decided is not None else None,
        "leader-changed": one.leader_changed,
    }


def _row(change: StepChange) -> dict[str, Any]:
    return {
        "step": str(change.where), "do": change.title,
        "verdict": {"then": change.before and str(change.before), "now": change.after and str(change.after)},
        "limit": {"then": _limit(change.limits[0]), "now": _limit(change.limits[1])},
        "findings": {f: {"then": old, "now": new} for f, (old, new) in (change.findings or {}).items()},
        "why": change.why,
    }  # fmt: skip


def _limit(limit: Limit | None) -> str | None:
    return f"{limit_text.bands(limit)} ({limit_text.source(limit)})" if limit is not None else None


def _table(ranking: tuple[RankedFault, ...]) -> dict[str, float]:
    return {r.fault: round(r.probability, 6) for r in ranking}
