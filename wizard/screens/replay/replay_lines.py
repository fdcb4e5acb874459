"""A frame of a replay as lines: what was on the screen then, what was done, judged, corrected, flagged and noted."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.documents.text import formatting, outcome_text
from wizard.domain.clock_times import moment
from wizard.domain.vocabulary import Phase
from wizard.engine.measuring import judging
from wizard.engine.messages import events as ev
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Caution, Limit, reading_of
from wizard.review.flags.flag import Flag, clock
from wizard.review.flags.flag_sum import flag_sum
from wizard.review.guarded import attempt
from wizard.review.replay import Replay, ReplayFrame
from wizard.review.screen_snapshot import ScreenSnapshot, SnapshotKind
from wizard.screens.replay.replay_cursor import STRIDES
from wizard.screens.replay.time_strip import Strip
from wizard.screens.text.caution_text import caution_lines
from wizard.screens.text.charset import plain, sign
from wizard.screens.text.step_place import ROOM
from wizard.screens.text.step_text import labelled, wrap
from wizard.screens.viewmodels.job_map.map_rows import MapRow, rows
from wizard.screens.widgets.job_map.map_line import map_lines
from wizard.screens.widgets.readings.ruler_box import WIDEST, reading_words, ruler, worst_of
from wizard.sessions.damaged_session import damage_lines
from wizard.sessions.reviews.review_rows import Review, ReviewNote
from wizard.sessions.reviews.review_text import response_line, signed_head

MOST_READ = 6
"""Judged items listed; the ruler shows them all."""


STANDING = 5
"""Lines of what was done that stand in sight; where it is longer the whole of it is read on below."""


def done_lines(frame: ReplayFrame, width: int) -> list[Content]:
    """What was done, as much of it as always stands in sight."""
    done = _done(frame, width)
    if len(done) <= STANDING:
        return done
    return [*done[: STANDING - 1], Content.styled("... the whole of it stands below.", "$faint")]


def frame_lines(frame: ReplayFrame, flags: Sequence[Flag], review: Review, width: int) -> list[Content]:
    """All other lines of an event. What a person wrote on it comes before what can be looked up: a small screen
    scrolls.
    """
    done = _done(frame, width)
    blocks = (
        _screen(frame, width),
        done if len(done) > STANDING else [],
        _changed(frame, width),
        [line for n in review.notes if n.event == frame.seq for line in _note(n, review, width)],
        [line for flag in flags for line in _flag(flag, width)],
        _read(frame, width),
        _map(frame, width),
    )
    lines: list[Content] = []
    for block in blocks:
        lines += [Content(""), *block] if lines and block else block
    return lines


def _screen(frame: ReplayFrame, width: int) -> list[Content]:
    """What stood on the screen before the event; the answer that was given is marked."""
    shown = frame.shown
    lines = [Content.styled("On the screen", "$faint"), *caution_lines(_known(shown.caution), width)]
    lines += wrap(shown.why, width, "$faint") if shown.why else []
    lines += wrap(shown.do, width, "bold") if shown.do else []
    lines += labelled("Expect:", shown.expect, width) if shown.expect else []
    chosen = _chosen(frame)
    for choice in shown.choices:
        mark = sign("▸") if choice.id in chosen else " "
        lines += wrap(f"{mark} {choice.says}", width, "bold" if choice.id in chosen else "")
    lines += [line for act in shown.lines for line in wrap(f"- {act}", width)]
    return lines


def _known(cautions: Sequence[Caution]) -> list[Caution]:
    return list(cautions)


def _chosen(frame: ReplayFrame) -> frozenset[str]:
    """The ids that the event chose among those on the screen."""
    event, shown = frame.record.event, frame.shown
    if isinstance(event, ev.Answered) and frame.where == shown.where and not event.instead_of:
        return frozenset(event.chosen)
    if isinstance(event, ev.FactTaken) and shown.kind is SnapshotKind.FACT:
        return frozenset((event.value,))
    return frozenset()


_FOLLOW = (ev.Widened, ev.Entered, ev.InspectionLeft, ev.Headed)
"""The events that don't say themselves what was asked for them."""


def _done(frame: ReplayFrame, width: int) -> list[Content]:
    """What was done, how long it took, and what was typed where that says more."""
    lines = [Content.styled(f"What was done, {clock(frame.stay)} after the last", "$faint")]
    lines += wrap(frame.says, width, "bold")
    if frame.typed and frame.typed not in frame.says:
        lines += labelled("Typed:", frame.typed, width)
    if frame.asked and isinstance(frame.record.event, _FOLLOW):
        lines += labelled("Asked:", frame.asked, width)
    if frame.refused:
        lines += labelled("Refused:", frame.refused, width)
    if frame.believed:
        lines += labelled("From now on:", formatting.sentence("; ".join(frame.believed)), width)
    return [*lines, *(wrap(frame.trouble, width, "$error") if frame.trouble else [])]


def _read(frame: ReplayFrame, width: int) -> list[Content]:
    """What was read, judged by the limit of that moment, on its ruler."""
    if not frame.judged:
        return []
    limit, unit = limit_at(frame)
    if limit is None:
        return [reading_words(j, unit, plain()) for j in frame.judged[:MOST_READ]]
    items = (
        [] if len(frame.judged) == 1 else [reading_words(j, unit, plain()) for j in frame.judged[:MOST_READ]]
    )
    worst = worst_of(frame.judged, limit)
    return [*items, *ruler(limit, frame.judged if worst else (), min(width, WIDEST), plain(), unit)]


def _map(frame: ReplayFrame, width: int) -> list[Content]:
    """The job map where that was on the screen: every row as it stood."""
    if frame.shown.kind is not SnapshotKind.MAP or frame.shown.inspection:
        return []
    found, trouble = attempt(lambda: rows(frame.before), _NO_ROWS)
    lines = [
        Content(f"{sign('▸') if row.now else ' '} ").append(line)
        for row, line in zip(found, map_lines(found, width - 2), strict=True)
    ]
    return [
        Content.styled("The job map", "$faint"),
        *lines,
        *(wrap(trouble, width, "$error") if trouble else []),
    ]


_NO_ROWS: tuple[MapRow, ...] = ()


def limit_at(frame: ReplayFrame) -> tuple[Limit | None, str]:
    """The limit that judged the step of an event, and the unit that it is read in."""
    ref = frame.where.ref if frame.where else None
    step = frame.before.flow.step(ref) if ref else None
    if step is None:
        return None, ""
    limit = judging.limit_of(frame.before, step)
    reading = reading_of(step)
    return limit, reading.unit if reading else limit.unit if limit else ""


def _changed(frame: ReplayFrame, width: int) -> list[Content]:
    change = frame.change
    if change is None:
        return []
    lines = [Content.styled(f"Put right: event {change.first}", "bold $warning")]
    lines += labelled("It was:", change.was, width) + labelled("It is now:", change.now, width)
    lines += labelled("Why:", change.reason, width) if change.reason else []
    if change.aside:
        lines += labelled("No longer counts:", ", ".join(f"event {n}" for n in change.aside), width)
    return lines


def _flag(flag: Flag, width: int) -> list[Content]:
    return [*wrap(f"! {flag.says}", width, "bold $warning"), *wrap(f"  {flag.evidence}", width)]


def _note(note: ReviewNote, review: Review, width: int) -> list[Content]:
    answered = (line for r in review.responses_to(note) for line in wrap(f"  {response_line(r)}", width))
    return [*wrap(f"* {note.by}: {note.text}", width, "$notice"), *answered]


def overview_lines(
    replay: Replay,
    name: str,
    flags: Sequence[Flag] | None,
    review: Review,
    chain: str,
    width: int,
    damage: Sequence[str] = (),
) -> list[Content]:
    """The session as a whole, before its first event. ``flags`` is None while they are being looked for; ``damage``:
    what of its journal no seal holds.
    """
    end, flow = replay.end, replay.flow
    lines = [
        Content(f"Session {name}").stylize("bold"),
        Content(f"Flow {flow.id} {flow.version}, as it was on that day"),
        Content(f"{len(replay)} events; {outcome_text.OUTCOMES[end.outcome]}"),
        Content("Looking for what may be worth a second look ..." if flags is None else _count(flags)),
        Content(f"{len(replay.changes)} put right or taken back; notes of reviewers: {len(review.notes)}"),
    ]
    lines += [line for text in damage_lines(damage) for line in wrap(text, width, "$warning")]
    for signed in review.signed:
        since = signed.since(chain, len(replay))
        words = f"{signed_head(signed)}, at {signed.events} events"
        lines += wrap(f"{words}{f'; {since}' if since else ''}. {signed.words}".strip(), width)
        lines += [
            line for r in review.responses_to(signed) for line in wrap(response_line(r), width, "$notice")
        ]
    lines += [
        Content(""),
        *wrap(f"Complaint: {end.complaint or '-'}", width),
        *_facts(replay.end_view, width),
    ]
    return lines


def _count(flags: Sequence[Flag]) -> str:
    return f"To look at (key f): {flag_sum(flags).words}" if flags else "Nothing that the flags look for"


def _facts(view: JobView, width: int) -> list[Content]:
    texts = [
        f"{f.id.replace('-', ' ')}: {formatting.fact_words(view.flow, f.id, view.state.facts[f.id])}"
        for f in view.flow.facts
        if view.state.facts.get(f.id)
    ]
    return wrap(f"Machine: {'; '.join(texts) or '-'}", width)


def headline_parts(
    replay: Replay, frame: ReplayFrame | None, stride: str, speed: float | None
) -> tuple[str, tuple[str, ...], str]:
    """Title, place, and what Left and Right do, or how fast it runs (``speed``: strides a second)."""
    way = f"Left and Right by: {stride} (1 to {len(STRIDES)} choose)"
    if speed is not None:
        way = f"Running, {speed:g} a second, by {stride}. Space halts it."
    if frame is None:
        return replay.flow.title, (f"before event 1 of {len(replay)}",), way
    at = moment(frame.record.at, replay.zone.zone)
    time = f"{at:%H:%M:%S} {replay.zone.words}" if at else ""
    title, step = frame.shown.title, place_words(frame.shown)
    if step and len(title) + len(step) + 2 <= ROOM:
        title, step = f"{title}, {step}", ""
    return title, (f"event {frame.seq} of {len(replay)}", time, step), way


def strip_of(replay: Replay, review: Review, flags: Sequence[Flag], place: int) -> Strip:
    """The time line: a star for a note, c for what was corrected, ! for a flag."""
    marked = [(n.event, "*") for n in review.notes] + [(c.seq, "c") for c in replay.changes]
    marks: dict[int, str] = {}
    for seq, letter in (*marked, *((f.seq, "!") for f in flags)):
        marks[replay.place_of(seq)] = marks.get(replay.place_of(seq), "") + letter
    return Strip(replay.spans, replay.elapsed, marks, place)


def place_words(shown: ScreenSnapshot) -> str:
    """'step 2 of 4', with the phase where it is after the repair."""
    step = f"step {shown.number} of {shown.count}" if shown.number else ""
    return ", ".join(x for x in (step, "after the repair" if shown.phase is Phase.AFTER else "") if x)
