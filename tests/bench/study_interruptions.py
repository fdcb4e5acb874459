"""What two breaks and a restart cost in a whole job: three kinds of machine, led by the evidence to the close.

``python -m tests.bench.study_interruptions``, from the project's folder, plays ``tests/helpers/interrupted_jobs.py``
in the engine, with the interruptions and without, and prints what stands in FIGURES.md under the same heading. The same
jobs are played by keys by ``tests/screens/test_terminal_interrupted.py``, at night.
"""

from __future__ import annotations

from tests.helpers.interrupted_jobs import FLOW, PLANS, AskedAgain, Ended, played
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow

HEAD = (
    "| machine | | questions | readings | keys | screens | ends |",
    "|---|---|---|---|---|---|---|",
)
AGAIN = (
    "| machine | interrupted | at | asked again, in this order | the screen says |",
    "|---|---|---|---|---|",
)


def tables(flow: Flow) -> str:
    """Both tables: what the jobs take, and what each interruption has asked again."""
    jobs = [(plan, played(flow, plan, ()), played(flow, plan)) for plan in PLANS]
    counts = [
        row
        for plan, plain, job in jobs
        for row in (_counts(plan.kind, "undisturbed", plain), _counts("", "interrupted", job))
    ]
    again = [
        _again(plan.kind if n == 0 else "", one)
        for plan, _plain, job in jobs
        for n, one in enumerate(job.again)
    ]
    return "\n".join((*HEAD, *counts, "", *AGAIN, *again))


def _counts(machine: str, how: str, job: Ended) -> str:
    whole = job.whole
    numbers = (whole.questions, whole.readings, whole.keys, whole.screens)
    return f"| {machine} | {how} | {' | '.join(map(str, numbers))} | {job.outcome} |"


def _again(machine: str, one: AskedAgain) -> str:
    steps = ", ".join(f"`{step}`" for step in one.steps)
    when = "after the repair" if one.between.after else "before it"
    back = f"; goes on at `{one.left}`" if one.left else ""
    where = f"`{one.between.at}`, {when}{back}"
    return f"| {machine} | {one.between.how} | {where} | {len(one.steps)}: {steps} | {one.reason} |"


def main() -> None:
    """Print the tables."""
    print(tables(load(folder_of(FLOW), lambda _digest: True)))


if __name__ == "__main__":
    main()
