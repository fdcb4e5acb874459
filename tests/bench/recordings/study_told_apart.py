"""Machines told apart by one recording alone: how often what the flow makes of it finds something, and what leads then.

Run from the project's folder: python -m tests.bench.recordings.study_told_apart --healthy 100 --each 12. It prints
the tables of FIGURES.md, and fails above 2 % of healthy recordings that something is found in. The machines are those
of wizard/practice/demo/drawn_spin.py, drawn by their seeds; those from 1000 on were not looked at while bounds were
chosen.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

from wizard.diagnosis.evidence_combination import combined
from wizard.diagnosis.network_posterior import weigh
from wizard.engine.guidance.session_ranking import machine_network
from wizard.engine.handlers.taken_answer import evidence_of
from wizard.engine.measuring import figure_evidence, judging
from wizard.engine.messages.spin_record import SpinRecord, spin_record
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import MeasureStep, RecordStep
from wizard.measure.quantities import units
from wizard.practice.demo.demo_motion import write_motion
from wizard.practice.demo.demo_sound import write_sound
from wizard.practice.demo.drawn_spin import HEARD, MOTIONS, drawn
from wizard.recordings.spin_report import spin_report

FALSE = 0.02
FACTS = {
    "kind": "front-loader", "drive": "belt", "motor": "inverter", "dampers": "3", "rings": "2", "stack": "none",
    "pedestal": "none", "feet": "all-four", "floor": "concrete", "place": "free", "dries": "no", "age": "2-to-8",
}  # fmt: skip
TRUE = {
    "healthy": (), "bad-load": (), "worn-dampers": ("dampers-worn",), "loose-foot": ("feet", "floor"),
    "floor": ("floor", "feet"), "spider": ("spider",), "bearing": ("bearings",),
}  # fmt: skip
"""Of each machine the faults that one recording may take for it: floor and feet swing alike."""

NOTHING = "(nothing found)"


def heard(view: JobView, record: SpinRecord) -> Mapping[str, float]:
    """The evidence of one recording by the shake flow: its own rows', and that of the steps that it fills."""
    inspection = view.flow.inspections["record-spin"]
    step = inspection.step("take")
    assert isinstance(step, RecordStep)
    found: dict[str, list[float]] = {f: [e] for f, e in figure_evidence.evidence(step, record).items()}

    def add(evidence: Mapping[str, float]) -> None:
        for finding, e in evidence.items():
            found.setdefault(finding, []).append(e)

    for name, answer in figure_evidence.answers(step, record).items():
        other = inspection.step(name)
        assert other is not None
        add(evidence_of(other, (answer,)))
    for name, figure in figure_evidence.readings(step, record).items():
        other = inspection.step(name)
        assert isinstance(other, MeasureStep)
        limit = judging.limit_of(view, other)
        value = units.to_si(figure.value, figure.unit)
        one = judging.against("", value, figure.uncertainty, 1, limit)
        add(judging.outcome(view, other, [one], limit).evidence)
    return {finding: combined(es) for finding, es in found.items()}


def recorded(name: str, seed: int, sound: bool, folder: Path, bearings: tuple[str, ...]) -> SpinRecord:
    """What a made machine's recording says."""
    path = folder / ("spin.wav" if sound else "spin.csv")
    (write_sound if sound else write_motion)(drawn(name, seed), seed, path)
    return spin_record(spin_report(path, bearings=bearings))


def main() -> int:
    """Print who is told for whom; return 1 where too many healthy ones are found fault with."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n\n")[0])
    parser.add_argument(
        "--healthy", type=int, default=30, help="healthy machines, of motion and of sound each"
    )
    parser.add_argument("--each", type=int, default=6, help="machines of each fault")
    parser.add_argument("--first", type=int, default=1000, help="the first seed")
    given = parser.parse_args()
    flow = load(folder_of("washer-shake"))
    view = JobView.of(flow, State(facts=FACTS))
    network = machine_network(view)
    assert network is not None
    step = flow.inspections["record-spin"].step("take")
    assert isinstance(step, RecordStep)
    faults = dict(zip(network.faults, range(len(network.faults)), strict=True))
    leaders: dict[str, Counter[str]] = {}
    findings: dict[str, Counter[str]] = {}
    false: list[bool] = []
    with tempfile.TemporaryDirectory() as folder:
        for sound, kinds in ((False, MOTIONS), (True, HEARD)):
            for name in kinds:
                row = f"{name}, {'sound' if sound else 'motion'}"
                many = given.healthy if name == "healthy" else given.each
                for seed in range(given.first, given.first + many):
                    evidence = heard(view, recorded(name, seed, sound, Path(folder), step.bearings))
                    evidence = {f: e for f, e in evidence.items() if f in network.findings}
                    found = [f for f, e in evidence.items() if e > 0.5]
                    if name == "healthy":
                        false.append(bool(found))
                    findings.setdefault(row, Counter()).update(found)
                    posterior = weigh(network, evidence).probabilities
                    lead = max(faults, key=lambda f: posterior[faults[f]])
                    leaders.setdefault(row, Counter())[lead if found else NOTHING] += 1
    for row, counts in leaders.items():
        total, name = counts.total(), row.partition(",")[0]
        right = sum(counts[f] for f in TRUE[name]) if TRUE[name] else counts[NOTHING]
        told = ", ".join(f"{lead} {count}" for lead, count in counts.most_common())
        print(f"| {row} | {total} | {right} | {told} |")
    for row, counts in findings.items():
        print(f"{row}: {', '.join(f'{f} {n}' for f, n in counts.most_common()) or 'no finding'}")
    share = sum(false) / len(false)
    print(f"something found in {sum(false)} of {len(false)} healthy recordings ({share:.1%})")
    return int(share > FALSE)


if __name__ == "__main__":
    sys.exit(main())
