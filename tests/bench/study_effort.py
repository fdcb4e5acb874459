"""What a job asks: answers, readings, keys and minutes of all shipped one-fault cases, by kind, led both ways.

``python -m tests.bench.study_effort``, from the project's folder, plays every shipped case that confirms one fault by
the flow's own order and by the advice, and prints medians by kind of machine, to the decision and to the close.
``--where`` names the inspections that took most of it. Only cases that end as they say both ways are counted.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import cache
from statistics import median

from wizard.domain.vocabulary import StepKind
from wizard.engine.messages import events as ev
from wizard.engine.messages.events import Recorded
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flow.rules.case_rules import machine_of
from wizard.flowcheck.cases.advised_play import compare
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.effort import effort
from wizard.flowcheck.cases.run_answers import run_answers

FLOWS = ("washer-shake", "washer-no-drain")
KINDS = ("fl", "hung", "base")
COLUMNS = ("answers", "readings", "both", "keys", "minutes")


@dataclass(frozen=True)
class Way:
    """A case played one way: each column to the decision and to the close, and what was asked where."""

    decided: tuple[float, ...]
    closed: tuple[float, ...]
    where: tuple[Counter[str], Counter[str]] = field(default_factory=lambda: (Counter(), Counter()))


@dataclass(frozen=True)
class Row:
    """A case, its kind of machine, and both ways; None where it ended otherwise than it says."""

    case: str
    kind: str
    ways: tuple[Way, Way] | None
    right: bool


@cache
def shipped(name: str) -> tuple[Flow, dict[str, Case]]:
    """A shipped flow and its cases that confirm one fault."""
    flow = load(folder_of(name))
    found = load_cases(folder_of(name), flow)
    return flow, {c.id: c for c in found if alone(c)}


def alone(case: Case) -> bool:
    """True for a case that confirms one fault, and makes no attempt to get past a rule."""
    return len(case.expect.confirmed or ()) == 1 and bool(case.expect.top) and not case.attempts


def study(asked: tuple[str, str]) -> Row:
    """One case, by the order and by the advice."""
    flow, cases = shipped(asked[0])
    case = cases[asked[1]]
    both = compare(flow, case)
    machine = machine_of(flow, case.facts, case.unseen)
    kind = "no-drain" if asked[0] == "washer-no-drain" else machine.get("kind", "")
    ok = both.order.ok and both.advice.ok
    ways = (way(flow, both.order), way(flow, both.advice)) if ok else None
    return Row(case.id, kind, ways, both.advice.top == case.expect.top)


def way(flow: Flow, played: Played) -> Way:
    """What a played case took."""
    decided, closed = effort(flow, played.records)
    until = to_decision(played.records)
    at = [(e.questions, e.readings, e.asked, e.keys) for e in (decided, closed)]
    minutes = (minutes_of(flow, until), minutes_of(flow, played.records))
    places = asked_at(flow, until), asked_at(flow, played.records)
    return Way((*at[0], minutes[0]), (*at[1], minutes[1]), places)


def to_decision(records: Iterable[Recorded]) -> list[Recorded]:
    """The events up to the first decision, or all."""
    found = list(records)
    at = next((n for n, r in enumerate(found) if isinstance(r.event, ev.Decided)), len(found))
    return found[: at + 1]


def minutes_of(flow: Flow, records: Iterable[Recorded]) -> float:
    """The usual minutes of the steps that were answered; a repair's own are the same both ways and left out."""
    found = run_answers(records)
    steps = (flow.inspections[run.inspection].step(event.step) for run, event in found)
    return sum(step.minutes for step in steps if step is not None)


def asked_at(flow: Flow, records: Sequence[Recorded]) -> Counter[str]:
    """How much was asked in which inspection; what was asked first for another one is marked."""
    runs = {e.run: e for r in records if isinstance(e := r.event, ev.Entered)}
    found: Counter[str] = Counter()
    for record in records:
        event = record.event
        if not isinstance(event, ev.Answered | ev.ReadingTaken):
            continue
        run = runs[event.run]
        step = flow.inspections[run.inspection].step(event.step)
        if isinstance(event, ev.ReadingTaken) or step.kind not in (StepKind.MEASURE, StepKind.COMPUTE):
            found[run.inspection + (" (asked first)" if run.condition else "")] += 1
    return found


def show(title: str, rows: Sequence[Row]) -> None:
    """Print the medians of some cases, the order's and the advice's side by side."""
    counted = [row.ways for row in rows if row.ways]
    right = sum(row.right for row in rows)
    print(
        f"\n{title}: {len(counted)} of {len(rows)} end as they say both ways; {right} right by the evidence"
    )
    for name, to in (("decision", "decided"), ("close", "closed")):
        for place, way_name in enumerate(("order", "evidence")):
            columns = zip(*(getattr(ways[place], to) for ways in counted), strict=True)
            cells = [f"{label} {median(c):g}" for label, c in zip(COLUMNS, columns, strict=True)]
            print(f"  to the {name}, by the {way_name}: " + ", ".join(cells))


def show_where(rows: Sequence[Row], most: int = 30) -> None:
    """Print what took most, as the mean of a case led by the evidence: to the decision, then after it."""
    counted = [row.ways[1].where for row in rows if row.ways]
    for title, parts in (
        ("to the decision", [before for before, _ in counted]),
        ("after it", [whole - before for before, whole in counted]),
    ):
        total = sum(parts, Counter())
        print(f"\n{title}, answers and readings a case: {sum(total.values()) / len(parts):.1f}")
        for name, count in total.most_common(most):
            share = sum(name in p for p in parts)
            print(f"  {name:36}{count / len(parts):6.2f} a case, in {share} of {len(parts)}")


def main() -> None:
    """Play them and print the tables."""
    parser = argparse.ArgumentParser(description="What a job asks, by kind of machine.")
    parser.add_argument("--where", action="store_true", help="name what takes most, too")
    parser.add_argument("--jobs", type=int, default=2)
    given = parser.parse_args()
    asked = [(name, case) for name in FLOWS for case in shipped(name)[1]]
    with ProcessPoolExecutor(given.jobs) as pool:
        rows = list(pool.map(study, asked, chunksize=4))
    for kind in sorted({row.kind for row in rows}):
        show(kind, [row for row in rows if row.kind == kind])
    show("washer-shake", [row for row in rows if row.kind != "no-drain"])
    show("all", rows)
    show("all, one case a fault and kind", [row for row in rows if row.case.rpartition("-")[2] in KINDS])
    print("\nend otherwise:", ", ".join(row.case for row in rows if not row.ways) or "none")
    if given.where:
        for part in ("front-loader", "top-hung", "top-base", "no-drain"):
            print(f"\n== {part}")
            show_where([row for row in rows if row.kind == part])


if __name__ == "__main__":
    main()
