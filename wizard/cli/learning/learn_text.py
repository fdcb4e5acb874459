"""What ``steadfoot flow learn`` says of a proposal: lines for people, a table for programs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from wizard.domain.counting import plural
from wizard.learning.estimate import Estimate, NumberKind, NumberStanding
from wizard.learning.learner import BIAS, Learned
from wizard.learning.numbered_flow import decimals
from wizard.learning.observation import LeftOut, WhyLeftOut
from wizard.learning.proposal import Proposal, ProposedNumber

NEAREST = 5
"""So many of the numbers with too few sessions are named: those that lack the fewest."""
NAMED = 8
"""So many sessions left out for one reason are named, the rest counted."""
HEADS = ("number", "now", "learned", "95 in 100 from", "to", "sessions", "gain, bits")


def lines_of(proposal: Proposal, text: Iterable[str], every: bool, path: str) -> list[str]:
    """The proposal in lines: from how many sessions, what changes, what is too few, the score, what bias remains."""
    changing = [n for n in proposal.numbers if n.estimate.standing is NumberStanding.CHANGE]
    agreeing = [n for n in proposal.numbers if n.estimate.standing is NumberStanding.AGREES]
    few = [n for n in proposal.numbers if n.estimate.missing]
    unsound = [n for n in proposal.numbers if n.estimate.standing is NumberStanding.UNSOUND]
    shown = proposal.numbers if every else changing
    return [
        f"{proposal.flow} {proposal.version}: learned from {plural(proposal.proved, 'proved session')} and "
        f"{proposal.unproved} closed without a proof.",
        *_left(proposal),
        "",
        *(_table(shown) if shown else ["No number is contradicted by the sessions."]),
        "",
        f"{plural(len(changing), 'number')} changed, {len(agreeing)} as the flow has them as far as the sessions "
        f"can tell, {len(few)} with too few sessions and left as they are.",
        *_not_offered(unsound),
        *_nearest(few),
        *_score(proposal),
        *text,
        "",
        "What bias remains:",
        *(f"  {one}" for one in BIAS),
        "",
        f"Proposal: {path}. The flow is as it was: --take ID or --take-all writes into it.",
    ]


def _left(proposal: Proposal) -> list[str]:
    """The sessions that were left out, by name where they are few."""
    lines = []
    for why, names in proposal.left_out.items():
        shown = ", ".join(names[:NAMED]) + (f" and {len(names) - NAMED} more" if len(names) > NAMED else "")
        lines.append(f"Left out, {why}: {shown}.")
    return lines


def _table(numbers: Iterable[ProposedNumber]) -> list[str]:
    """Rows in columns."""
    rows = [HEADS, *(_row(number) for number in numbers)]
    widths = [max(len(row[n]) for row in rows) for n in range(len(HEADS))]
    return [
        "  ".join(
            cell.ljust(width) if n == 0 else cell.rjust(width)
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]


def _row(number: ProposedNumber) -> tuple[str, ...]:
    e = number.estimate
    gain = f"{number.gain:+.3f}" if number.gain else ""
    return (
        str(e.id), _figure(e, e.old), _figure(e, number.new), _figure(e, e.low), _figure(e, e.high),
        f"{e.sessions:.0f}", gain,
    )  # fmt: skip


def _figure(e: Estimate, value: float) -> str:
    return f"{value:.{decimals(e.id, value)}f}"


def _not_offered(unsound: Iterable[ProposedNumber]) -> list[str]:
    """Curves that the flow's check would refuse: what the sessions say of each, and why it is not offered."""
    curves: dict[str, list[ProposedNumber]] = {}
    for number in unsound:
        curves.setdefault(number.id.thing, []).append(number)
    return [
        f"Not offered: {thing} as the sessions have it ("
        + ", ".join(f"{n.id.of} {_figure(n.estimate, n.estimate.new)}" for n in some)
        + f"), since then {some[0].estimate.why}."
        for thing, some in curves.items()
    ]


def _nearest(few: list[ProposedNumber]) -> list[str]:
    """Of the numbers with too few sessions those that lack the fewest, and how many."""
    some = sorted(few, key=lambda n: (n.estimate.missing, str(n.id)))[:NEAREST]
    if not some:
        return []
    named = ", ".join(f"{n.id} ({n.estimate.missing} more)" for n in some)
    return [f"Nearest to enough: {named}."]


def _score(proposal: Proposal) -> list[str]:
    """The held-out score in words; that nothing is known where there are too few later sessions."""
    s = proposal.score
    if not s:
        return ["Not scored: too few proved sessions lie in the later part of them."]
    low, high = s["log-loss-change-low"], s["log-loss-change-high"]
    verdict = "better" if high < 0 else "worse" if low > 0 else "no difference that these sessions can show"
    return [
        f"Numbers from the earlier sessions, on {s['sessions']:.0f} later ones: log loss {s['log-loss-old']:.3f} bits "
        f"before, {s['log-loss-new']:.3f} after (change {low:+.3f} to {high:+.3f}, 95 in 100): {verdict}. "
        f"Brier {s['brier-old']:.4f}, {s['brier-new']:.4f} ({s['brier-change-low']:+.4f} to "
        f"{s['brier-change-high']:+.4f})."
    ]


def remarks(learned: Learned, left: Iterable[LeftOut]) -> tuple[str, ...]:
    """What is said beside the numbers: forged sessions and why, kinds that say otherwise, what did not settle."""
    lines = [
        f"Session {one.session} is {one.why}: {one.says}" for one in left if one.why is WhyLeftOut.FORGED
    ]
    if not learned.settled:
        lines.append(
            "The weights or curves had not come to rest when the search ended. Take none of them unlooked at."
        )
    occupancy = ", ".join(f"{kind} {value:.2f}" for kind, value in learned.occupancy.items())
    if occupancy:
        lines.append(f"Occupancy, as these sessions have it: {occupancy}. It is left as it is.")
    lines += [
        f"{d.value} alone: {d.estimate.id} {d.estimate.new:.2f} ({d.estimate.low:.2f} to {d.estimate.high:.2f}), "
        f"all together {d.pooled:.2f}. A flow has one number for all."
        for d in learned.departures
    ]
    kinds = {e.id.of for e in learned.estimates if e.id.kind is NumberKind.SHARE and e.missing}
    if kinds:
        lines.append(f"Shares left as they are, too few sessions: {', '.join(sorted(kinds))}.")
    return tuple(lines)


def table_of(proposal: Proposal, text: Iterable[str]) -> dict[str, Any]:
    """The proposal for programs: every number, the score, the remarks and what bias remains."""
    return {
        "flow": proposal.flow, "version": proposal.version, "digest": proposal.digest,
        "proved": proposal.proved, "unproved": proposal.unproved,
        "left_out": {why: list(names) for why, names in proposal.left_out.items()},
        "score": dict(proposal.score),
        "numbers": [
            {**asdict(n.estimate), "id": str(n.id), "new": n.new, "learned": n.estimate.new,
             "standing": n.estimate.standing, "gain": n.gain}
            for n in proposal.numbers
        ],
        "remarks": list(text), "bias": list(BIAS),
    }  # fmt: skip
