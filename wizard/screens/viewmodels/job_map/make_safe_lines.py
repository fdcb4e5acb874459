"""The make-safe lines of a stop, each with how it stands."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine.state.job_state import Stoppage
from wizard.flow.model import Flow


@dataclass(frozen=True, slots=True)
class StopLine:
    """One line: of which stop, its number there, what it says, and whether it was not dealt with yet."""

    stop: str
    number: int
    says: str
    text: str
    open: bool


def stop_lines(flow: Flow, halt: Stoppage | None) -> tuple[StopLine, ...]:
    """The lines of a stop; none where this flow has no such stop."""
    stop = flow.stops.get(halt.stop) if halt is not None else None
    if halt is None or stop is None:
        return ()
    return tuple(_line(halt, n, says) for n, says in enumerate(stop.make_safe))


def _line(halt: Stoppage, number: int, says: str) -> StopLine:
    reason = halt.done.get(number)
    mark = "[ ]" if reason is None else "[x]" if not reason else "[-]"
    more = f" (not done: {reason})" if reason else ""
    return StopLine(halt.stop, number, says, f"{mark} {says}{more}", reason is None)
