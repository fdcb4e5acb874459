"""What ``steadfoot session verify`` writes: lines for people, a table for programs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from wizard.domain.counting import plural
from wizard.journal.sealed_block import grouped
from wizard.sessions.reviews.review_text import RULINGS

if TYPE_CHECKING:
    from wizard.sessions.session_verification import SessionVerification
    from wizard.sessions.trusting.trust_report import TrustReport


def troubles(found: SessionVerification) -> tuple[str, ...]:
    """Everything that is wrong, a line each, the chain first."""
    lines = [f"block {p.block}, line {p.line}: {p.kind}. {p.text}" for p in found.chain.problems]
    if found.read and found.chain.ok:
        lines.append(found.read)
    lines += [*found.unsigned, *filter(None, (found.departed,))]
    checked = (*((found.flow,) if found.flow else ()), *found.attachments, *found.papers)
    lines += [c.trouble for c in checked if c.trouble]
    lines += found.trust.troubles if found.trust else ()
    lines += [f"event {b.seq} ({b.kind}): against the rules of its flow. {b.says}" for b in found.breaches]
    return tuple(lines)


def lines_of(found: SessionVerification) -> Iterator[str]:
    """What was found, then what is no fault, then the sum of it."""
    wrong = troubles(found)
    yield from wrong
    yield from found.chain.notes
    yield from found.notes
    if found.signed:
        since = "" if not found.stale else "; what was signed is not all there" if found.unsigned else _ADDED
        ruling = f", {words}" if (words := RULINGS[found.signed.ruling]) else ""
        yield f"Signed off by {found.signed.by}{ruling}, {found.signed.at[:16]}{since}."
    if found.trust:
        yield from found.trust.lines
        yield from (f"Not checked: {line}" for line in found.trust.unchecked)
    else:
        yield "Not checked: The journal can't be read, so neither signature, approval of the flow nor ledger was."
    if wrong:
        return
    beside = [found.flow.note if found.flow else "", _count(len(found.attachments), "attachment")]
    beside.append(_count(len(found.papers), "handover file"))
    yield (
        f"Session {found.session} is whole: {plural(found.chain.blocks, 'block')}, the last "
        f"{grouped(found.chain.last_chain)}. With it: {'; '.join(b for b in beside if b)}."
    )


_ADDED = "; events were added since"


def _count(count: int, word: str) -> str:
    return plural(count, word) if count else ""


def table_of(found: SessionVerification) -> dict[str, Any]:
    """The same as plain dicts and lists."""
    return {
        "session": found.session, "whole": found.ok, "blocks": found.chain.blocks,
        "last": found.chain.last_chain, "printed": found.chain.printed, "after": found.chain.after,
        "notes": [*found.chain.notes, *found.notes], "problems": [asdict(p) for p in found.chain.problems],
        "unreadable": found.read, "flow": asdict(found.flow) if found.flow else None,
        "attachments": [asdict(c) for c in found.attachments], "papers": [asdict(c) for c in found.papers],
        "breaches": [asdict(b) for b in found.breaches],
        "signed": asdict(found.signed) if found.signed else None, "stale": found.stale,
        "unsigned": list(found.unsigned), "departed": found.departed,
        "trust": _trust(found.trust) if found.trust else None,
    }  # fmt: skip


def _trust(report: TrustReport) -> dict[str, Any]:
    return {
        "seal": asdict(report.seal), "review": [asdict(row) for row in report.rows], "flow": report.flow,
        "ledger": report.ledger,
        "not-checked": list(report.unchecked),
    }  # fmt: skip
