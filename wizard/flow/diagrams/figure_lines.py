"""What the figures of a record step mean, as lines under its step."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.recording_vocabulary import UNITS
from wizard.flow.diagrams.text_fitting import wrap
from wizard.flow.model import AnyStep, FigureMeaning, RecordStep


def figure_lines(step: AnyStep, width: int) -> Iterator[str]:
    """Yield a line a row, and one a reading; nothing of a step that takes no recording."""
    if not isinstance(step, RecordStep):
        return
    if step.spin_rpm is not None:
        yield from wrap(f"needs a spin of {step.spin_rpm:g} rpm for {step.spin_seconds:g} s", width, "", "  ")
    for row in step.figures:
        yield from wrap(f"{condition(row)}: {', '.join(_meaning(row))}", width, "figure ", "  ")
    for name, kind in step.reads.items():
        yield from wrap(f"{name} reads {kind}", width, "", "  ")
    if step.before:
        yield from wrap(f"set beside {step.before}", width, "", "  ")


def condition(row: FigureMeaning) -> str:
    """When a row holds, in words: 'run-up peak from 90 to 260 rpm', 'no knock each turn (motion)'."""
    unit = UNITS.get(row.figure, "")
    words = f"no {row.figure}" if row.missing else str(row.figure)
    for word, edge in (("from", row.low), ("to", row.high)):
        words += f" {word} {edge:g}" if edge is not None else ""
    words += f" grown {row.grown:g} times" if row.grown is not None else ""
    words += f" {unit}" if unit and (row.low is not None or row.high is not None) else ""
    return words + (f" ({row.of})" if row.of else "")


def _meaning(row: FigureMeaning) -> Iterator[str]:
    """Yield what a row brings about."""
    yield from (f"finds {finding} {weight:g}" for finding, weight in row.finds.items())
    yield from (f"rules out {finding} {weight:g}" for finding, weight in row.rules_out.items())
    yield from (str(row.verdict),) if row.verdict else ()
    yield from (f"{step} is asked" for step in row.asks)
    yield from (f"{step} is {answer}" for step, answer in row.fills.items())
