"""A fault explained, as lines: what speaks for it and against it, what it rests on, what would change it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wizard.domain.probability import percent
from wizard.engine.guidance.session_ranking import EvidenceItem, FaultExplanation
from wizard.screens.text.clipping import cut
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.fault_rows import surely

LEGEND = "x8: this makes its odds 8 times as high. /8: an eighth as high."


def weight(spoken: EvidenceItem) -> str:
    """'x8' or '/8': by what the finding multiplies or divides the fault's odds; 'x1.4' below 3, '>99' at most."""
    factor = math.exp(min(abs(spoken.weight), 20.0))
    number = ">99" if factor > 99 else f"{factor:.1f}" if factor < 3 else f"{factor:.0f}"
    return f"{'x' if spoken.weight > 0 else '/'}{number}"


def findings(told: FaultExplanation, width: int) -> list[str]:
    """Every finding that says something of it, heaviest first: for (+) or against (-), with its weight."""
    spoken = sorted((*told.speaks_for, *told.against), key=lambda s: -abs(s.weight))
    lines = [
        f"{'+' if s.weight > 0 else '-'} {weight(s):<5} {cut(surely(s.evidence) + s.says, width - 8)}"
        for s in spoken
    ]
    return lines or ["Nothing seen speaks for or against it yet."]


def warnings(told: FaultExplanation, width: int) -> list[str]:
    """What it rests on alone, and the findings whose answer was close to a limit."""
    says = {s.finding: s.says for s in (*told.speaks_for, *told.against)}
    lines = [f"! It rests on one weak finding: {says.get(told.single, told.single)}"] if told.single else []
    lines += [f"? Close to its limit: {says.get(f, f)}" for f in told.doubtful]
    return [cut(line, width) for line in lines]


def changes(told: FaultExplanation, width: int, most: int) -> list[str]:
    """The findings not answered yet that would move the ranking most, and who leads after either answer."""
    texts = (
        f"Would change most: {x.says}. {_leaders(x.if_seen, x.if_ruled_out)}"
        for x in told.would_change[:most]
    )
    return [line for text in texts for line in wrapped(text, width)]


def _leaders(seen: str, not_seen: str) -> str:
    if seen == not_seen:
        return f"{seen} leads either way."
    return f"If so, {seen} leads; if not, {not_seen}."


def explained(told: FaultExplanation, says: str, decided: bool, width: int, room: int) -> list[str]:
    """All of it in at most ``room`` lines, warnings before findings; what is left out is counted."""
    head = cut(f"{says}: {percent(told.probability)}{', decided' if decided else ''}", width)
    last = changes(told, width, 1 if room < 14 else 3)
    first = warnings(told, width)[: max(1, room // 4)]
    left = max(1, room - 1 - len(first) - len(last))
    return [head, *first, *_fitted(findings(told, width), left), *last][:room]


def _fitted(lines: list[str], room: int) -> Iterator[str]:
    if len(lines) <= room:
        yield from lines
        return
    yield from lines[: room - 1]
    yield f"and {len(lines) - room + 1} weaker ones"
