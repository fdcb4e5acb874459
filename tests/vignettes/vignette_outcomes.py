"""What the flow makes of each visit, and the table of the page: ``python -m tests.vignettes.vignette_outcomes``."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import takewhile

from tests.vignettes.vignette_stories import HERE, KINDS, Vignette, vignettes
from wizard.engine.guidance.session_ranking import DECIDED, RankedFault
from wizard.engine.messages.events import Decided
from wizard.engine.queries import inspection_queries
from wizard.engine.state import fold
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flowcheck.cases.advised_play import Advised, Compared, compare
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.effort import effort

PAGE = HERE / "OUTCOMES.md"
BEGIN, END = "<!-- table -->\n", "<!-- end of the table -->\n"
HEAD = (
    "| visit | expected | ranked first | decided | answers | minutes | by the advice | in the order | reason |\n"
    "|---|---|---|---|---|---|---|---|---|\n"
)


@dataclass(frozen=True, slots=True)
class VignetteOutcome:
    """Where a visit stood at the decision.

    ``ranking`` is in order; ``answers`` counts questions and readings, ``minutes`` the usual minutes of what was done.
    """

    visit: Vignette
    ranking: tuple[RankedFault, ...]
    answers: int
    minutes: float

    @property
    def decided(self) -> frozenset[str]:
        """The faults at 0.9 or more."""
        return frozenset(one.fault for one in self.ranking if one.probability >= DECIDED)

    @property
    def first(self) -> tuple[RankedFault, ...]:
        """As many of the likeliest as the story names."""
        return self.ranking[: len(self.visit.expected)]

    @property
    def on_top(self) -> bool:
        """True where just the faults that the story names are ranked first."""
        return {one.fault for one in self.first} == set(self.visit.expected)

    @property
    def hit(self) -> bool:
        """True where they are decided besides, and no other is."""
        return self.on_top and self.decided == set(self.visit.expected)


def outcome(flow: Flow, visit: Vignette, played: Played) -> VignetteOutcome:
    """What a job that was played says of its visit."""
    before = takewhile(lambda record: not isinstance(record.event, Decided), played.records)
    view = JobView.of(flow, fold.fold_all(before))
    asked = effort(flow, played.records)[0].asked
    return VignetteOutcome(visit, played.ranking, asked, inspection_queries.minutes(view))


def by_advice(flow: Flow, visit: Vignette) -> VignetteOutcome:
    """The visit led by the advice, up to the decision; what comes after it is not looked at."""
    return outcome(flow, visit, play(flow, visit.case, Advised(visit.case)))


def misses() -> Mapping[str, Mapping[str, str]]:
    """The visits that are known to be missed by the advice, each with where the reason lies, and the reason."""
    with (HERE / "misses.toml").open("rb") as file:
        return {row["id"]: row for row in tomllib.load(file)["miss"]}


def row(advised: VignetteOutcome, ordered: VignetteOutcome) -> str:
    """A visit's line of the table."""
    visit, known = advised.visit, misses()
    cells = (
        visit.id,
        " and ".join(visit.expected),
        ", ".join(f"{one.fault} {_share(one.probability)}" for one in advised.first),
        "yes" if set(visit.expected) <= advised.decided else "no",
        str(advised.answers),
        f"{advised.minutes:g}",
        "hit" if advised.hit else "miss",
        "hit" if ordered.hit else "miss",
        known[visit.id]["short"] if visit.id in known else "",
    )
    return f"| {' | '.join(cells)} |\n"


def _share(probability: float) -> str:
    """Two digits, and never 1: nothing is certain."""
    return ">.99" if probability > 0.99 else f"{probability:.2f}".removeprefix("0")


def table(runs: Iterable[VignetteRun]) -> str:
    """The table of the page, a part for each kind of machine; the counts, and why what is missed is missed."""
    both = tuple(runs)
    parts = []
    for kind, says in KINDS.items():
        rows = [row(one.advised, one.ordered) for one in both if one.advised.visit.kind == kind]
        parts.append(f"\n### {says.capitalize()}\n\n{HEAD}{''.join(rows)}")
    advised, ordered = [one.advised for one in both], [one.ordered for one in both]
    counts = (
        f"\nOf {len(both)} by the advice {sum(o.hit for o in advised)} are hits, and in "
        f"{sum(o.on_top for o in advised)} what the story names is on top. "
        f"In the order {sum(o.hit for o in ordered)} are hits.\n"
    )
    reasons = (
        f"- **{name}** ({row['where']}): {' '.join(row['reason'].split())}\n"
        for name, row in misses().items()
    )
    return f"{''.join(parts)}{counts}\n### Why these are missed\n\n{''.join(reasons)}\n"


@dataclass(frozen=True, slots=True)
class VignetteRun:
    """A visit by the advice and in the order, and both jobs whole."""

    advised: VignetteOutcome
    ordered: VignetteOutcome
    jobs: Compared


def both_ways(flow: Flow) -> Iterable[VignetteRun]:
    """Play each visit by the advice and in the order, to the close."""
    for visit in vignettes(flow):
        jobs = compare(flow, visit.case)
        yield VignetteRun(outcome(flow, visit, jobs.advice), outcome(flow, visit, jobs.order), jobs)


def on_page() -> str:
    """The table as it stands on the page."""
    return PAGE.read_text(encoding="utf-8").partition(BEGIN)[2].partition(END)[0]


def without_figures(text: str) -> str:
    """A table without its probabilities, answers and minutes, which any change of the advice moves a little."""
    return re.sub(r"\| (?:\d+(?:\.\d+)? \| ){2}|(?<=[a-z]) >?\.\d+", "| ", text)


def main() -> None:
    """Write the table anew."""
    flow = load(folder_of("washer-shake"))
    made = table(both_ways(flow))
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(BEGIN)
    PAGE.write_text(before + BEGIN + made + END + rest.partition(END)[2], encoding="utf-8")


if __name__ == "__main__":
    main()
