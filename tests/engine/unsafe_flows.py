"""Broken flows, a file each, under the check and under the adversary: how each is found, and in which job.

python -m tests.engine.unsafe_flows            # all, as the nightly test has them; writes tests/bench/FIGURES.md
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import tomli

from tests.engine.aimed_adversary import JOBS, aimed, run_aimed
from tests.helpers.flows.flow_folders import Broken
from tests.helpers.jobs import good
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.loading.static_check import Examined, examine
from wizard.flow.problems import errors
from wizard.flowcheck.approval.claim import Claim
from wizard.flowcheck.approval.claim_changes import ClaimShift, changes
from wizard.flowcheck.approval.flow_claims import claims
from wizard.flowcheck.checks import prove

FLOWCHECK = Path(__file__).parents[1] / "flowcheck"
FIGURES = Path(__file__).parents[1] / "bench" / "FIGURES.md"
HEAD = "## Broken flows: the check and a careless person\n"
NOT_THERE = "no: "


@dataclass(frozen=True)
class Found:
    """How a broken flow is found. ``form`` and ``proofs`` are rules, ``approved`` the first claim that is weaker.

    ``adversary`` is what it showed, with the way there; empty where it found nothing within its jobs; ``job`` the one.
    """

    name: str
    form: tuple[str, ...]
    proofs: tuple[str, ...]
    approved: str
    adversary: str
    job: int

    @property
    def checked(self) -> str:
        """How the check finds it, in words."""
        rules = [f"[{rule}]" for rule in (*self.form, *self.proofs)]
        return ", ".join(rules) or (f"[approved] {self.approved}" if self.approved else "nothing")


@lru_cache(maxsize=1)
def every() -> dict[str, dict[str, Any]]:
    """The broken flows that a person could be hurt or stuck by, by name."""
    paths = [p for folder in ("unsafe", "broken") for p in sorted((FLOWCHECK / folder).rglob("*.toml"))]
    return {p.stem: tomli.loads(p.read_text(encoding="utf-8")) for p in paths}


@lru_cache(maxsize=1)
def sound() -> tuple[Rules, tuple[Claim, ...]]:
    """The sound flow that all of them differ from: its rules and its claims."""
    return Rules.of(good()), claims(good())


def examined(name: str) -> Examined:
    return examine(Broken(name, every()[name]).files())


def by_check(name: str) -> Found:
    """How the check finds it: its form, its proofs, what was approved."""
    built = examined(name)
    assert built.flow is not None
    form = tuple(sorted({p.rule for p in errors(built.problems)}))
    proofs = tuple(sorted({p.rule for p in prove(built.flow, index=built.index).problems}))
    shifts = changes(sound()[1], claims(built.flow), built.flow)
    weaker = next((str(one.claim) for one in shifts if one.shift is ClaimShift.WEAKER), "")
    return Found(name, form, proofs, weaker, "", 0)


def by_adversary(name: str, jobs: int = JOBS) -> tuple[str, int]:
    """What the adversary shows of it, with the proofs passed over, and in which job; empty and 0 for nothing."""
    flow = examined(name).flow
    assert flow is not None
    job = aimed(sound()[0], Rules.of(flow), dead_ends="rule" in every()[name])
    try:
        run_aimed(job, jobs)
    except AssertionError as shown:
        return str(shown), job.found_in or job.runs - 1
    return "", 0


def rows(jobs: int = JOBS) -> Iterator[Found]:
    """Every broken flow, found by both as far as they do."""
    for name in every():
        one = by_check(name)
        shown, job = by_adversary(name, jobs)
        yield Found(name, one.form, one.proofs, one.approved, shown, job)


def table(found: list[Found]) -> str:
    """The figures, as they stand among the others."""
    lines = [
        HEAD,
        "Each of these differs from the small good flow and its library in what its file says, in",
        "`tests/flowcheck/unsafe` or `tests/flowcheck/broken`. The check is form, proofs and what was approved; the",
        f"adversary plays the flow with all of them passed over, at most {JOBS} jobs, aimed at what differs",
        "(`tests/engine/aimed_adversary.py`). Made by `python -m tests.engine.unsafe_flows`.",
        "",
        "| flow | found by the check as | by the adversary | in job |",
        "|---|---|---|---|",
    ]
    for one in found:
        shown = (
            one.adversary.splitlines()[0]
            if one.adversary
            else NOT_THERE + every()[one.name].get("never", "?")
        )
        lines.append(f"| {one.name} | {one.checked} | {_short(shown)} | {one.job or '-'} |")
    unproved = [one.name for one in found if one.adversary and not one.proofs and not one.form]
    lines += [
        "",
        "Found by the adversary and passed by form and proofs, so that the approval alone holds them:",
        f"{len(unproved)} of {len(found)}: {', '.join(unproved)}.",
        "",
        f"The check finds {sum(bool(one.checked) for one in found)} of {len(found)}; the adversary "
        f"{sum(bool(one.adversary) for one in found)}. Of what hurts nobody in the small flow it is said why.",
        "",
    ]
    return "\n".join(lines)


def _short(shown: str) -> str:
    """What was shown without the event that it was seen at."""
    said = shown.split(": ", 1)[1] if " is shown, and in truth " in shown else shown.split(": Barred", 1)[0]
    return said.replace("|", "/")


def main() -> None:
    """Write the figures."""
    text = FIGURES.read_text(encoding="utf-8")
    made = table(list(rows()))
    before, _, rest = text.partition(HEAD)
    after = rest.partition("\n## ")
    if rest:
        text = before + made + "\n## " + after[2]
    else:
        text = text.replace("## What it costs\n", f"{made}\n## What it costs\n", 1)
    FIGURES.write_text(text, encoding="utf-8")
    print(made)


if __name__ == "__main__":
    main()
