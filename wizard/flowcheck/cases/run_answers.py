"""The answers of a journal, each with the event that began its run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wizard.engine.messages.events import Answered, Entered, Recorded


def run_answers(records: Iterable[Recorded]) -> Iterator[tuple[Entered, Answered]]:
    """Yield each answer in order, corrections too, with the event of its run's beginning."""
    runs: dict[int, Entered] = {}
    for record in records:
        event = record.event
        if isinstance(event, Entered):
            runs.setdefault(event.run, event)
        elif isinstance(event, Answered):
            yield runs[event.run], event
