"""The work of a session step by step, for the record: every run, answer and reading that counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import tzinfo

from wizard.documents.content.measurements import judged_in
from wizard.documents.content.partial_readings import PartialReading, partial_reading
from wizard.documents.content.step_evidence import step_evidence
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Evidence,
    ListItem,
    Paragraph,
    Section,
    Sentence,
    TextSpan,
    phrase,
    stated,
    strong,
)
from wizard.documents.text.formatting import clock, sentence
from wizard.documents.text.limit_text import TOO_COARSE, too_coarse, value
from wizard.documents.text.outcome_text import HOWS, RUNS
from wizard.domain.vocabulary import AnswerHow, RunStatus
from wizard.engine.measuring.computing import unit_of
from wizard.engine.measuring.judging import Judged, limit_of
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord, Run, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import JudgedStep, Limit, Step
from wizard.measure.quantities import units

Runs = Sequence[Run]


def work_log(view: JobView, zone: tzinfo) -> Section:
    """Every run with its steps' answers and readings, in the order they were begun.

    Steps that were asked one by one stand together, before what they were asked for.
    """
    sections = []
    for run, before, after in _groups(view):
        sections += [_asked(view, before, zone, run)] if before else []
        sections += [_run(view, run, zone)] if run else []
        sections += [_asked(view, after, zone)] if after else []
    nothing = (Paragraph((phrase("No inspection was begun."),)),)
    return Section("Work, step by step", tuple(sections) or nothing)


def _groups(view: JobView) -> Iterator[tuple[Run | None, Runs, Runs]]:
    """Each run of its own, with the steps asked alone for it, and those asked after it for something else."""
    state = view.state
    runs = [r for r in state.runs if r.inspection in view.flow.inspections and not _empty(state, r)]
    own: Run | None = None
    alone: list[Run] = []
    for run in runs:
        if run.only:
            alone.append(run)
            continue
        if own or alone:
            yield own, *_parted(state, own, alone)
        own, alone = run, []
    if own or alone:
        yield own, *_parted(state, own, alone)


def _parted(state: State, own: Run | None, alone: Runs) -> tuple[Runs, Runs]:
    """The steps asked before the last answer of a run, or while it is not over; and those asked after it."""
    if own is None:
        return (), alone
    last = max((g.seq for g in state.answers(own.id)), default=own.seq)
    going = own.how in (RunStatus.OPEN, RunStatus.LEFT)
    before = tuple(r for r in alone if going or r.seq < last)
    return before, tuple(r for r in alone if r not in before)


def _empty(state: State, run: Run) -> bool:
    """True for a step that was to be asked for another one and was not answered."""
    return run.only and not state.answers(run.id) and not state.readings(run.id, run.asked)


def _asked(view: JobView, runs: Runs, zone: tzinfo, wanted: Run | None = None) -> Section:
    """Steps that were asked one by one, each under its inspection's title; ``wanted``: what they were asked for."""
    items: dict[str, list[ListItem]] = {}
    for run in runs:
        inspection = view.flow.inspections[run.inspection]
        items.setdefault(inspection.title, []).extend(_items(view, run, zone))
    listed = (ListItem((phrase(f"{title}:"),), tuple(under)) for title, under in items.items())
    what = f" for {view.flow.inspections[wanted.inspection].title}" if wanted else ""
    return Section(f"Made sure of first{what}, visit {runs[0].visit}", (BulletList(tuple(listed)),))


def _run(view: JobView, run: Run, zone: tzinfo) -> Section:
    phase = "after the repair, " if inspection_queries.run_after_repair(view, run) else ""
    began = f"Began {clock(view.state, run.began, zone)}; {RUNS[run.how]}."
    items = tuple(_items(view, run, zone))
    blocks: list[Block] = [Paragraph((phrase(began),))]
    blocks.extend([BulletList(items)] if items else [])
    return Section(f"{view.flow.inspections[run.inspection].title}, {phase}visit {run.visit}", tuple(blocks))


def _items(view: JobView, run: Run, zone: tzinfo) -> Iterator[ListItem]:
    for step in view.flow.inspections[run.inspection].steps:
        yield from _step(view, run, step, zone)


def _step(view: JobView, run: Run, step: Step, zone: tzinfo) -> tuple[ListItem, ...]:
    """Each answer of a step, the readings under the last; readings not judged yet stand under what is asked."""
    words = [
        _answer(view, step, given, zone) for given in view.state.answers(run.id) if given.step == step.id
    ]
    readings = _readings(view, run, step)
    if readings and not words:
        words = [phrase(step.do)]
    under = [()] * (len(words) - 1) + [readings]
    partly = partial_reading(view, run, step)
    text = [(s,) for s in words[:-1]] + [(words[-1], *_partly(partly))] if words else []
    return tuple(ListItem(s, u) for s, u in zip(text, under, strict=False))


def _partly(partly: PartialReading | None) -> tuple[Sentence, ...]:
    """The sentence that says that not all of a step was read."""
    if partly is None:
        return ()
    words = f"Not all of it was read: {partly.taken} of {partly.wanted} numbers."
    return (stated(words, evidence=Evidence.NOT_LOOKED_AT),)


def _answer(view: JobView, step: Step, given: AnswerRecord, zone: tzinfo) -> Sentence:
    lead = f"{clock(view.state, given.at, zone)} {step.do} "
    if given.how is not AnswerHow.ANSWER:
        how = HOWS.get(given.how, given.how)
        return stated(lead, strong(how), f": {sentence(given.reason)}", evidence=Evidence.NOT_LOOKED_AT)
    judged = isinstance(step, JudgedStep)
    says = str(given.verdict or given.text) if judged else given.says or given.text
    verdict = f" [{given.verdict}]" if given.verdict and not judged else ""
    why = f" Reason: {sentence(given.reason)}" if given.reason else ""
    known = Evidence.FROM_RECORDING if given.recording else step_evidence(view.flow, step, given.chosen)
    # What was told, presumed or recorded could be taken for what was seen: the words of the others say what they are.
    say = phrase if known in (Evidence.TOLD, Evidence.FROM_RECORDING) else stated
    return say(lead, strong(says), verdict + why, evidence=known)


def _readings(view: JobView, run: Run, step: Step) -> tuple[ListItem, ...]:
    """An item a line: what was read, what was typed where that differs, tool, mean and verdict."""
    unit = unit_of(view, step)
    groups: dict[tuple[int, int], list[ReadingRecord]] = {}
    for t in view.state.readings(run.id, step.id):
        groups.setdefault((t.item, t.way), []).append(t)
    judged, limit = judged_in(view, run, step), limit_of(view, step)
    rows = [groups[key] for key in sorted(groups)] or [[] for _ in judged]
    return tuple(
        ListItem((_reading(unit, taken, item, limit),)) for taken, item in zip(rows, judged, strict=False)
    )


def _reading(unit: str, taken: Sequence[ReadingRecord], item: Judged, limit: Limit | None) -> Sentence:
    name = f"{item.name}: " if item.name else ""
    read = ", ".join(_figure(t, unit) for t in taken)
    tool = f" with {taken[0].tool}" if taken and taken[0].tool else ""
    again = "".join(f"; {t.reason}" for t in taken if t.reason)
    lead = f"{name}read {read}{tool}{again}; " if read else name
    verdict = f", {item.verdict}" if item.verdict else ""
    says = f" ({item.says})" if item.says else ""
    coarse = f"; {TOO_COARSE}" if limit is not None and too_coarse(limit, item) else ""
    mean: TextSpan = strong(value(item, unit))
    return stated(lead, mean, verdict + says + coarse, evidence=Evidence.MEASURED)


def _figure(t: ReadingRecord, unit: str) -> str:
    shown = units.text(t.value, unit)
    return shown if t.typed in (shown, shown.split(" ")[0]) else f"{shown} (typed {t.typed})"
