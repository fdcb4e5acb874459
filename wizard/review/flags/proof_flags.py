"""Flags on the proof of a repair: repeated until it passed, and reasons that say nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from wizard.documents.text import formatting
from wizard.documents.text.entry_words import entry_words
from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow, Phase, RepairOutcome, SkipHow, Verdict
from wizard.engine.messages import events as ev
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord, State
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId
from wizard.sessions.reviews.review_rows import wordless

_BAD = (Verdict.FAIL, Verdict.WATCH)


@dataclass(slots=True)
class _Tries:
    """What of one step did not pass after the last repair and was taken out of the count by hand."""

    last: int = 0
    says: list[str] = field(default_factory=list)


def proof_repeated(look: FlagContext) -> Iterator[Flag]:
    """A step that is looked at or measured after a repair, and did not pass: its answer or reading was taken back or
    put right, and in the end it passed. What was repaired once more in between is another proof.
    """
    tries: dict[Target, _Tries] = {}
    repaired = False
    for place, record in enumerate(look.replay.records, 1):
        event = record.event
        if isinstance(event, ev.RepairDone) and event.outcome is RepairOutcome.FITTED:
            yield from _passed(look, tries, look.replay.state(place - 1))
            tries, repaired = {}, True
        old = _gone(look.replay.state(place - 1), event) if repaired else None
        if old is not None and _after(look, old) and (says := _bad(look, old)):
            one = tries.setdefault(Target(old.inspection, old.step), _Tries())
            one.last = record.seq
            one.says.append(f"{says}, {_how(event)}")
    yield from _passed(look, tries, look.replay.end)


def _gone(state: State, event: ev.Event) -> AnswerRecord | ReadingRecord | None:
    """The entry that an event takes out of the count: taken back, or put right."""
    seq = 0
    if isinstance(event, ev.Undone):
        seq = event.seq
    elif isinstance(event, ev.Answered | ev.ReadingTaken):
        seq = event.instead_of
    return next((one for one in state.entries if one.seq == seq), None) if seq else None


def _after(look: FlagContext, old: AnswerRecord | ReadingRecord) -> bool:
    """True for what looks at the machine after the decision; what makes it safe has no proof."""
    run = look.replay.end.find_run(old.run)
    inspection = look.replay.flow.inspections.get(old.inspection)
    return (
        run is not None and run.phase is Phase.AFTER and inspection is not None and not inspection.procedure
    )


def _bad(look: FlagContext, old: AnswerRecord | ReadingRecord) -> str:
    """What was said and did not pass, with its verdict; empty where it passed, or nothing judges it."""
    if isinstance(old, AnswerRecord):
        return f"{entry_words(old).rstrip('.')}" if old.verdict in _BAD else ""
    place = look.replay.place_of(old.seq)
    judged = look.replay.frame(place).judged if place else ()
    verdict = next((j.verdict for j in judged if j.verdict in _BAD), None)
    return f"{entry_words(old).rstrip('.')} [{verdict}]" if verdict else ""


def _how(event: ev.Event) -> str:
    reason = event.reason.strip() if isinstance(event, ev.Answered | ev.ReadingTaken) else ""
    return f"put right with the reason '{reason}'" if reason else "taken back"


def _passed(look: FlagContext, tries: dict[Target, _Tries], state: State) -> Iterator[Flag]:
    """The steps whose answer passed in the end."""
    least = look.number(FlagId.PROOF_REPEATED, "least")
    for where, one in tries.items():
        given = [g for g in state.answer_records if Target(g.inspection, g.step) == where and not g.aside]
        if not given or given[-1].verdict is not Verdict.PASS or len(one.says) < least:
            continue
        count = len(one.says)
        yield look.flag(
            FlagId.PROOF_REPEATED,
            f"{look.title(where.inspection)}: after the repair it passed once what did not was put aside.",
            f"{formatting.sentence('; '.join(one.says[:4]))}{f' And {count - 4} more.' if count > 4 else ''} "
            f"In the end: {formatting.sentence(given[-1].says or given[-1].text)}",
            one.last,
            where,
            float(count),
        )


def reasons_empty(look: FlagContext) -> Iterator[Flag]:
    """Inspections and steps left out, several of them, with reasons that say nothing."""
    thin: list[tuple[int, str, str]] = []
    for place, record in enumerate(look.replay.records, 1):
        event = record.event
        if isinstance(event, ev.Skipped) and event.how is SkipHow.SKIPPED:
            name = look.title(event.inspection)
        elif isinstance(event, ev.Answered) and event.how is AnswerHow.UNABLE:
            run = look.replay.state(place - 1).find_run(event.run)
            name = f"{look.title(run.inspection)}, {event.step}" if run is not None else event.step
        else:
            continue
        if event.reason.strip() and wordless(event.reason):
            thin.append((record.seq, name, event.reason.strip()))
    if not thin or len(thin) < look.number(FlagId.REASONS_EMPTY, "least"):
        return
    words = Counter(reason for _seq, _name, reason in thin)
    written = ", ".join(f"'{reason}' {count} times" for reason, count in words.most_common(3))
    named = ", ".join(name for _seq, name, _reason in thin[:12])
    more = f" and {len(thin) - 12} more" if len(thin) > 12 else ""
    yield look.flag(
        FlagId.REASONS_EMPTY,
        f"{len(thin)} were left out with a reason that says nothing.",
        f"Written: {written}. Left out: {named}{more}.",
        thin[0][0],
        measure=float(len(thin)),
    )
