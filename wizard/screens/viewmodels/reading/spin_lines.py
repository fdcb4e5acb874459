"""What a recorded spin says, as lines: what it fills in, what it speaks for, its figures, what it can't tell."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from wizard.documents.charts.spin_chart import phase_levels, spin_chart
from wizard.documents.charts.spins_compared import LEGEND, spins_compared
from wizard.domain.recording_vocabulary import uncertainty_text
from wizard.engine.measuring import figure_evidence
from wizard.engine.measuring.needed_spin import lacking
from wizard.engine.measuring.spin_comparison import comparison, recorded_before, spin_before
from wizard.engine.messages.spin_record import KeptFigure, SpinRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection, RecordStep
from wizard.measure.quantities import units
from wizard.screens.text.charset import plain
from wizard.screens.text.wrapping import wrapped

TALL = 9
"""The most rows that a picture of the speed, or of the level, takes."""


def words(
    view: JobView, inspection: Inspection, step: RecordStep, record: SpinRecord, width: int
) -> list[str]:
    """The words on a recording in lines: what speaks against its place first, what can't be told last."""
    before = spin_before(view.state, step)
    lack = lacking(step, record, before)
    blocks = (
        ("", (*((lack,) if lack else ()), *record.place)),
        ("Said of it:", (record.setting.says,)),
        (
            "Beside the recording before the repair:",
            tuple(t for t in compared(view, step, record) if t != lack),
        ),
        ("Judged by it:", tuple(_judged(step, record, before))),
        ("Filled in, and asked no more:", tuple(filled(inspection, step, record, before))),
        ("Besides, it speaks", tuple(evidence_lines(view, step, record))),
        ("Figures:", tuple(_told(record))),
        ("Not told:", tuple(_silent(record))),
    )
    lines: list[str] = []
    for head, texts in blocks:
        if not texts:
            continue
        lines += [""] if lines else []
        lines += [head] if head else []
        for text in texts:
            lines += _item("! " if not head else "- ", text.replace("±", "+-") if plain() else text, width)
    return lines


def _item(mark: str, text: str, width: int) -> list[str]:
    """A text behind its mark, running on under itself."""
    rows = wrapped(text, width - len(mark))
    return [f"{mark if n == 0 else ' ' * len(mark)}{row}" for n, row in enumerate(rows)]


def _judged(step: RecordStep, record: SpinRecord, before: SpinRecord | None) -> Iterator[str]:
    """Yield each verdict of the rows with the sentences that it goes by; that it proves nothing, where it doesn't."""
    if step.before and lacking(step, record, before):
        yield "It proves nothing: the proof stays open."
    for one, verdict in figure_evidence.judging_rows(step, record, before):
        yield f"{verdict}: {' '.join(one.says)}"


def filled(
    inspection: Inspection, step: RecordStep, record: SpinRecord, before: SpinRecord | None = None
) -> Iterator[str]:
    """Yield each step that the recording answers with its answer, in the order of the steps."""
    answers = figure_evidence.answers(step, record, before)
    readings = figure_evidence.readings(step, record, before)
    for other in inspection.steps:
        if other.id in answers:
            given = other.answer(answers[other.id])
            yield f"{other.do} {given.says if given else answers[other.id]}"
        elif other.id in readings:
            figure = readings[other.id]
            value, known = (
                units.to_si(figure.value, figure.unit),
                units.span_to_si(figure.uncertainty, figure.unit),
            )
            yield f"{other.do} {units.text(value, figure.unit, known)}"


def evidence_lines(view: JobView, step: RecordStep, record: SpinRecord) -> Iterator[str]:
    """Yield each finding that the recording itself speaks for or against, with how strongly."""
    for finding, e in sorted(
        figure_evidence.evidence(step, record, spin_before(view.state, step)).items(),
        key=lambda one: -abs(one[1] - 0.5),
    ):
        known = view.flow.findings.get(finding)
        says = known.says if known else finding
        yield f"{'for' if e > figure_evidence.NEUTRAL else 'against'} ({max(e, 1 - e):.2f}): {says}"


def _told(record: SpinRecord) -> Iterator[str]:
    for figure in record.figures:
        if figure.told or figure.there is not None:
            yield f"{figure.says}{uncertain(figure)}"


def uncertain(figure: KeptFigure) -> str:
    """The standard uncertainty of a figure, in brackets; empty where it has none."""
    if not figure.told or not figure.uncertainty or figure.there is False:
        return ""
    return f" ({uncertainty_text(figure.figure, figure.uncertainty, figure.unit)})"


def _silent(record: SpinRecord) -> Iterator[str]:
    told = [f.says for f in record.figures if not f.told and f.there is None]
    yield from dict.fromkeys((*record.doubts, *told))


def compared(view: JobView, step: RecordStep, record: SpinRecord) -> Iterator[str]:
    """Yield each phase before and after, with its difference, and what knocks or sounds; or why not."""
    before = recorded_before(view.state, step) if step.before else None
    if before is not None:
        yield from comparison(before.spin, record).says


def beside(view: JobView, step: RecordStep, record: SpinRecord, width: int, plain: bool) -> list[str]:
    """The picture of before and after on one axis; no line where nothing was recorded before."""
    before = recorded_before(view.state, step) if step.before else None
    if before is None or not comparison(before.spin, record).phases:
        return []
    drawn = spins_compared(before.spin, record, width, TALL, plain)
    return [*drawn.lines, *wrapped(LEGEND, width), ""]


def pictures(record: SpinRecord, width: int, rows: int, plain: bool) -> list[str]:
    """Speed and level over time, and below them each phase with its level; ``rows``: of all of it."""
    bars = phase_levels(record, width, plain)
    each = max(3, min(TALL, (rows - len(bars) - 6) // 2))
    return [*spin_chart(record, width, each, plain), "", *bars]


def head(record: SpinRecord, file: str) -> str:
    """'spin.csv: 114 s of motion, 200 a second.'"""
    return f"{Path(file).name}: {record.seconds:.0f} s of {record.signal}, {record.rate:.0f} a second."
