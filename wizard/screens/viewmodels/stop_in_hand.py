"""The stop that is dealt with, as its screen asks of it. Pure functions of a view of the job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.engine.queries import machine_queries, stopped
from wizard.engine.queries.last_known import in_the_way, last_known, words
from wizard.engine.queries.machine_view import Standing, standings
from wizard.engine.state.condition_words import NOT_KNOWN
from wizard.engine.state.job_state import Stoppage
from wizard.engine.state.job_view import JobView
from wizard.screens.viewmodels.job_map.make_safe_lines import StopLine, stop_lines


@dataclass(frozen=True, slots=True)
class StopInHand:
    """The gravest stop of a job, and what of it is open."""

    view: JobView

    @property
    def stoppage(self) -> Stoppage | None:
        """The stop that is dealt with now: the gravest."""
        return stopped.dealt_with(self.view)

    @property
    def lines(self) -> tuple[StopLine, ...]:
        """The make-safe lines of the stop that is dealt with."""
        return stop_lines(self.view.flow, self.stoppage)

    @property
    def line(self) -> StopLine | None:
        """The first line not dealt with, or None when all are."""
        return next((line for line in self.lines if line.open), None)

    @property
    def latched(self) -> tuple[str, ...]:
        """The conditions that the stops latched and nobody cleared."""
        return machine_queries.latched(self.view)

    @property
    def over(self) -> str:
        """The gravest latched condition, where it may be cleared now; else empty: a lesser one waits for it."""
        return next((c for c in self.latched[:1] if not stopped.unreleasable(self.view, c)), "")

    @property
    def kept(self) -> str:
        """Why nothing may be cleared now, as a sentence."""
        reasons = (stopped.unreleasable(self.view, condition) for condition in self.latched)
        return next(reasons, "Nothing is left to clear. v comes back to the job on a new visit.")

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """What can be done now, each behind its key: the marked line, or what is left once all are dealt with."""
        if self.line is not None:
            return (("Enter", "Done: the marked line"),)
        clear = (("r", "It is over: say who clears it, and what was done"),) if self.over else ()
        return (("c", "Close the job"), *clear, ("v", "Come back to it on a new visit"))

    @property
    def others(self) -> tuple[str, ...]:
        """The other reasons of this visit that stand, in words, the gravest first."""
        standing = (h for h in stopped.gravest_first(self.view) if stopped.stands(self.view, h))
        stops, dealt = self.view.flow.stops, self.stoppage
        return tuple(stops[h.stop].says for h in standing if h is not dealt and h.stop in stops)

    @property
    def uncleared(self) -> tuple[str, ...]:
        """What stays stopped until somebody clears it, in words."""
        return tuple(self.view.flow.conditions[c].says for c in self.latched)

    @property
    def as_it_stands(self) -> tuple[str, ...]:
        """What the record has otherwise than a machine is left out of use: covers, wedge, water, power."""
        known = {s.condition: s for s in standings(self.view)}
        left = [known[c] for c in machine_queries.not_left_safe(self.view) if c not in self.latched]
        now = tuple(f"{s.says}: {s.words}" for s in left if s.words != NOT_KNOWN)
        return now + tuple(f"{words}, not looked at since" for words in self._before(known))

    def _before(self, known: Mapping[str, Standing]) -> Iterator[str]:
        """What was tied, wedged or off when it was last looked at, while nobody knows it any more."""
        for name, last in last_known(self.view).items():
            if known[name].words == NOT_KNOWN and (last.begun or in_the_way(self.view, last)):
                yield words(self.view, last)
