"""What the decision screen shows: the faults with their probabilities, ticked or not, and what speaks for each."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from wizard.domain.probability import LEAST, percent
from wizard.engine.guidance.session_ranking import FaultExplanation, RankedFault, Residual
from wizard.flow.model import Flow
from wizard.screens.text.wrapping import counted, hanging, wrapped

NINE = 9
"""Faults that have a digit; the rest are reached with the cursor."""


UNLIKELY = 0.05
"""Below this share a second fault isn't named: it would be looked for nineteen times in vain for once found."""


@dataclass(frozen=True, slots=True)
class FaultRow:
    """A fault as it is offered. ``digit`` is 1 to 9, or 0 where none is left; ``decided``: said to be so."""

    fault: str
    says: str
    probability: float
    digit: int
    ticked: bool
    alone: bool
    decided: bool = False


def fault_rows(
    flow: Flow, ranked: Sequence[RankedFault], ticked: frozenset[str], decided: Collection[str] = ()
) -> tuple[FaultRow, ...]:
    """The faults in the order of the ranking."""
    return tuple(
        FaultRow(
            r.fault,
            r.says,
            r.probability,
            n if n <= NINE else 0,
            r.fault in ticked,
            flow.faults[r.fault].alone,
            r.fault in decided,
        )
        for n, r in enumerate(ranked, 1)
    )


def toggled(flow: Flow, ticked: frozenset[str], fault: str) -> frozenset[str]:
    """Tick or untick; a fault that excludes all others takes their ticks away, and they take its."""
    if fault in ticked:
        return ticked - {fault}
    if flow.faults[fault].alone:
        return frozenset({fault})
    return frozenset(f for f in ticked if not flow.faults[f].alone) | {fault}


def standing(probability: float, decided: bool) -> str:
    """How firm that is, in a word: decided only where the advice says that enough is known."""
    if decided:
        return "decided"
    return "likely" if probability >= 0.5 else "open"


def bar(probability: float, width: int, plain: bool = False) -> str:
    """A bar as long as the probability; at least one cell where it is not nothing."""
    full = round(probability * width) or (1 if probability > 0.005 else 0)
    return ("#" if plain else "█") * full + ("." if plain else "░") * (width - full)


def reasons(explained: FaultExplanation, room: int, width: int = 999) -> list[str]:
    """What speaks for and against, strongest first, in at most ``room`` lines; a warning where one finding holds
    it.
    """
    spoken = sorted((*explained.speaks_for, *explained.against), key=lambda s: -abs(s.weight))
    blocks = [hanging("+ " if s.weight > 0 else "- ", f"{surely(s.evidence)}{s.says}", width) for s in spoken]
    if not blocks:
        blocks = [wrapped("Nothing seen speaks for or against it yet.", width)]
    if explained.single:
        blocks.insert(
            0, hanging("! ", "It rests on one finding alone. Look again before a part goes in.", width)
        )
    return counted(blocks, room)


def second_lines(
    flow: Flow, second: Residual, ticked: Collection[str], ranked: Sequence[RankedFault] = ()
) -> list[str]:
    """What stays unexplained with these faults confirmed, the likeliest second fault, and what is looked at along.

    ``ranked``: all faults as they stand on the screen.
    """
    lines = []
    if second.against:
        lines.append(f"What was found rules out: {_names(flow, second.against)}.")
    elif second.left:
        lines.append(f"Not explained by it: {'; '.join(x.says for x in second.left)}.")
    else:
        lines.append("Nothing that was seen stays unexplained.")
    if second.likeliest:
        lines.append(second_words(second.likeliest, _others(ranked, ticked)))
    along = dict.fromkeys(c for f in ticked if f in flow.faults for c in flow.faults[f].remedy.companions)
    if along:
        lines.append(f"Look at along with it: {'; '.join(along)}.")
    return lines


def second_words(likeliest: RankedFault, others: Sequence[RankedFault] = ()) -> str:
    """The likeliest second fault with its share; below ``UNLIKELY`` plainly that there is no likely one.

    ``others`` are the faults not ticked as they stand in the list: what is ticked may explain one of them away and
    be the less likely of the two, so the first of them is named where it is likely there.
    """
    if likeliest.probability >= UNLIKELY:
        return f"Likeliest second fault: {likeliest.says}, {percent(likeliest.probability)}."
    first = max(others, key=lambda r: r.probability, default=likeliest)
    if first.probability >= UNLIKELY:
        return f"Likeliest of those not ticked: {first.says}, {percent(first.probability)}."
    most = max(first.probability, likeliest.probability)
    if most < LEAST:
        return "No other fault is likely: each is under 1 %."
    return f"No other fault is likely: none is above {percent(most)}."


def _others(ranked: Sequence[RankedFault], ticked: Collection[str]) -> list[RankedFault]:
    return [r for r in ranked if r.fault not in ticked]


def second_question(
    second: Residual, ticked: Collection[str] = (), ranked: Sequence[RankedFault] = ()
) -> str:
    """What is asked before faults are confirmed that leave something unexplained; ``ranked`` as ``second_lines``."""
    lines = [f"What was ticked seldom shows: {'; '.join(x.says for x in second.left)}."]
    for left in second.left[:1]:
        if second.likeliest and left.fault:
            lines.append(second_words(second.likeliest, _others(ranked, ticked)))
    return " ".join(lines)


def why_question(rows: Sequence[FaultRow], faults: Collection[str], below: float) -> str:
    """What is asked where a fault ranked below this share is confirmed; empty where none is."""
    against = [r for r in rows if r.fault in faults and r.probability < below]
    if not against:
        return ""
    named = "; ".join(f"{r.says} ({percent(r.probability)})" for r in against)
    first = max(rows, key=lambda r: r.probability)
    leads = "" if first.fault in faults else f" First is {first.says} ({percent(first.probability)})."
    return f"Confirmed against the ranking: {named}.{leads} What did you see that says so?"


def _names(flow: Flow, faults: Collection[str]) -> str:
    return "; ".join(flow.faults[f].says for f in faults if f in flow.faults)


def surely(evidence: float) -> str:
    """How surely a finding was seen, before its words: nothing for certain, 'not: ', 'probably: ', 'probably not: '.

    In front, so that a line cut at its end never says the opposite.
    """
    if evidence >= 0.95:
        return ""
    if evidence <= 0.05:
        return "not: "
    return "probably: " if evidence > 0.5 else "probably not: " if evidence < 0.5 else "unclear: "
