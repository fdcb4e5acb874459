"""A fault explained, as lines: what speaks for it and against it, what it rests on, what would change it."""

from __future__ import annotations

import math
from collections.abc import Mapping

from wizard.domain.probability import percent
from wizard.domain.vocabulary import FaultSeverity
from wizard.engine.guidance.session_ranking import EvidenceItem, FaultExplanation
from wizard.screens.text.wrapping import counted, hanging, whole_blocks, wrapped
from wizard.screens.viewmodels.faults.fault_rows import surely

LEGEND = "x8: this makes its odds 8 times as high. /8: an eighth as high."

SEVERITY_WORDS: Mapping[FaultSeverity, str] = {
    FaultSeverity.MILD: "; likely still mild",
    FaultSeverity.MODERATE: "; likely moderate",
    FaultSeverity.SEVERE: "; likely severe",
}
"""How bad a fault likely is, where what was read says so."""


def weight(spoken: EvidenceItem) -> str:
    """'x8' or '/8': by what the finding multiplies or divides the fault's odds; 'x1.4' below 3, '>99' at most."""
    factor = math.exp(min(abs(spoken.weight), 20.0))
    number = ">99" if factor > 99 else f"{factor:.1f}" if factor < 3 else f"{factor:.0f}"
    return f"{'x' if spoken.weight > 0 else '/'}{number}"


def findings(explanation_of: FaultExplanation, width: int) -> list[list[str]]:
    """Every finding that says something of it, heaviest first: for (+) or against (-), with its weight.

    Each as its lines.
    """
    spoken = sorted((*explanation_of.speaks_for, *explanation_of.against), key=lambda s: -abs(s.weight))
    blocks = [
        hanging(f"{'+' if s.weight > 0 else '-'} {weight(s):<5} ", surely(s.evidence) + s.says, width)
        for s in spoken
    ]
    return blocks or [wrapped("Nothing seen speaks for or against it yet.", width)]


def warnings(explanation_of: FaultExplanation, width: int) -> list[list[str]]:
    """What it rests on alone, and the findings that are not certain: readings close to a limit, and looks; each as its
    lines.
    """
    spoken = {s.finding: s for s in (*explanation_of.speaks_for, *explanation_of.against)}
    says = {finding: s.says for finding, s in spoken.items()}
    single = explanation_of.single
    alone = f"{surely(spoken[single].evidence)}{says[single]}" if single in spoken else single
    words = [("! ", f"It rests on one weak finding: {alone}")] if single else []
    words += [
        ("? ", f"{_doubt(explanation_of, f, spoken.get(f))}: {says.get(f, f)}")
        for f in explanation_of.doubtful
    ]
    return [hanging(sign, text, width) for sign, text in words]


def _doubt(explanation_of: FaultExplanation, finding: str, spoken: EvidenceItem | None) -> str:
    """What makes a finding uncertain: a reading lies close to its limit, a look was not sure."""
    if finding not in explanation_of.looked:
        return "Close to its limit"
    return "Probably not seen" if spoken is not None and spoken.evidence < 0.5 else "Probably seen"


def changes(explanation_of: FaultExplanation, width: int, most: int) -> list[str]:
    """The findings not answered yet that would move the ranking most, and who leads after either answer."""
    texts = (
        f"Would change most: {x.says}. {_leaders(x.if_seen, x.if_ruled_out)}"
        for x in explanation_of.would_change[:most]
    )
    return [line for text in texts for line in wrapped(text, width)]


def _leaders(seen: str, not_seen: str) -> str:
    if seen == not_seen:
        return f"{seen} leads either way."
    return f"If so, {seen} leads; if not, {not_seen}."


def explained(explanation_of: FaultExplanation, says: str, decided: bool, width: int, room: int) -> list[str]:
    """All of it in at most ``room`` lines, warnings before findings; what is left out is counted."""
    how_bad = SEVERITY_WORDS.get(explanation_of.severity, "") if explanation_of.severity else ""
    head = wrapped(
        f"{says}: {percent(explanation_of.probability)}{', decided' if decided else ''}{how_bad}", width
    )
    last = changes(explanation_of, width, 1 if room < 14 else 3)
    first, _left = whole_blocks(warnings(explanation_of, width), max(2, room // 4))
    left = max(1, room - len(head) - len(first) - len(last))
    return [*head, *first, *counted(findings(explanation_of, width), left), *last][:room]
