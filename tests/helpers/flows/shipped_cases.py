"""The shipped flows with their cases played, once for all tests that look at them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from wizard.flow.diagrams.step_links import LinkKey
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow, Inspection
from wizard.flow.model.case import Case
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.stop_cases import StopTried, stops

NAMES = ("washer-shake", "washer-no-drain", "dryer-no-heat")


@dataclass(frozen=True)
class Shipped:
    """A shipped flow, its cases, how each ended, and every answer that stops work given on their way."""

    flow: Flow
    cases: tuple[Case, ...]
    played: tuple[Played, ...]
    stops: tuple[StopTried, ...]

    @property
    def given(self) -> set[str]:
        """The answers (``inspection.step:answer``) that a case gives, or that were tried whether they stop work."""
        ways = {f"{p.step!s}:{a}" for r in self.played for p in r.path for a in p.chosen}
        keys = (t.key for t in self.stops if t.tried)
        return ways | {f"{key.at}:{key.answer}" for key in keys if isinstance(key, LinkKey)}

    def job(self, case: str) -> Played:
        """One case, played."""
        return next(r for r in self.played if r.case == case)


@lru_cache(maxsize=3)
def shipped(name: str) -> Shipped:
    """A shipped flow, played."""
    folder = folder_of(name)
    flow = load(folder)
    cases = load_cases(folder, flow)
    played = tuple(play(flow, case) for case in cases)
    return Shipped(flow, cases, played, stops(flow, zip(cases, (r.records for r in played), strict=True)))


def answers(inspection: Inspection) -> Iterator[str]:
    """All answers of an inspection's steps, as ``inspection.step:answer``."""
    for step in inspection.steps:
        yield from (f"{inspection.id}.{step.id}:{a.id}" for a in step.answers)
