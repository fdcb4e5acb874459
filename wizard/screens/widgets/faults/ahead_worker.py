"""What is advised, computed in a thread for a widget; keys go on working meanwhile."""

from __future__ import annotations

from collections.abc import Callable

from textual.widget import Widget
from textual.worker import get_current_worker

from wizard.engine.state.job_view import JobView
from wizard.screens.viewmodels.faults.advice_rows import Ahead, ahead


def compute_ahead(host: Widget, view: JobView, take: Callable[[Ahead], None]) -> None:
    """Have the advice for this state brought to ``take`` of a widget, unless it is gone or asks anew meanwhile."""

    def compute() -> None:
        found = ahead(view)
        if host.is_mounted and not get_current_worker().is_cancelled:
            host.call_later(take, found)

    host.run_worker(compute, thread=True, exclusive=True, group="advice")
