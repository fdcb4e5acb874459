"""Edits of the small flow: a weak spot of each kind is found, and one that is held isn't told as weak."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.helpers.flows.flow_folders import GOOD
from wizard.flow.loading.flow_loader import load
from wizard.flowcheck.approval.approval_check import ApprovalBeside
from wizard.flowcheck.approval.approving import approve
from wizard.flowcheck.approval.flow_claims import claims
from wizard.flowcheck.weak.edit_kinds import EditKind, Noticed
from wizard.flowcheck.weak.edit_trial import EditTrial, bench
from wizard.flowcheck.weak.flow_edits import flow_edits
from wizard.flowcheck.weak.trial_work import trials

ROOT = Path(__file__).parents[3]
WEAK = {
    EditKind.NEED: "inspections/dampers.toml: step.pull.needs.front removed",
    EditKind.REACH: "inspections/motor.toml: step.spin.reach nearer",
    EditKind.EFFECT: "inspections/motor.toml: step.spin.so.dead removed",
    EditKind.SPOIL: "faults.toml: fault.dampers-worn.remedy.may.level removed",
    EditKind.CAUTION: "faults.toml: fault.transit-in.hazard removed",
    EditKind.STOP: "flow.toml: fact.stacked.value.gas.stop removed",
    EditKind.UNABLE: "library/procedures/access/sump.toml: step.empty.unable removed",
    EditKind.KNOWN_BAD: "faults.toml: fault.normal.needs.transit removed",
    EditKind.DRIFT: "library/machine.toml: condition.motion.alone.still removed",
    EditKind.OWED: "faults.toml: fault.wiring.remedy.recheck.motor removed",
    EditKind.WAIT: "library/procedures/access/tub.toml: step.untie.takes removed",
    EditKind.CONFIRM: "faults.toml: fault.normal.alone removed",
    EditKind.APPLIES: "findings.toml: finding.pull-weak.applies.kind removed",
    EditKind.LIMIT: "limits.toml: limit.damper-drag.band.good.up_to raised",
    EditKind.READING: "flow.toml: tool.pull-scale.uncertainty doubled",
    EditKind.UNIT: "limits.toml: limit.moved.unit swapped",
    EditKind.VERDICT: "inspections/dampers.toml: step.bounce.answer.swings.verdict swapped",
    EditKind.EVIDENCE: "inspections/dampers.toml: step.bounce.answer.swings.finds.bounces-on removed",
    EditKind.WEIGHT: "findings.toml: finding.walks.weights.transit-in removed",
    EditKind.BRANCH: "inspections/hoses.toml: inspection.after_only removed",
    EditKind.PRICE: "faults.toml: fault.dampers-worn.remedy.part.damper.per removed",
}
"""Of each kind an edit of the small flow that nothing there notices: nobody approved it, and one case looks at little.
People are in the library alone, below.
"""
HELD = {
    "inspections/quick.toml: step.bolts.answer.no.so.transit removed": Noticed.FORM,
    "inspections/spin.toml: step.run.caution.1 removed": Noticed.FORM,
    "faults.toml: fault.transit-in.remedy.may.transit removed": Noticed.PROOF,
    "limits.toml: limit.damper-drag.band.weak.below lowered": Noticed.CASE,
    "inspections/hoses.toml: step.tissue.answer.yes.verdict swapped": Noticed.CASE,
    "inspections/motor.toml: step.signs.next removed": Noticed.SAME,
}
"""Edits that something notices, and what."""
EXPECTED = """[case.steps]
"dampers.bounce" = { verdict = "fail", evidence = { bounces-on = 1 }, believed = { front = ["on"] } }
"motor.spin" = { reach = "terminals", leaves = { dead = ["no"] } }

[case.expect]
parts = { damper = 3, pin-set = 1 }
"""
"""What the case of worn dampers has to expect to notice some of the weak ones."""


def _quiet(_what: str, _done: int, _whole: int) -> None:
    """Tell no progress."""


def _tried(folder: Path, *ids: str, processes: int = 1) -> dict[str, EditTrial]:
    index = bench(folder).base.index
    assert index is not None
    edits = [edit for edit in flow_edits(index) if edit.id in ids]
    assert len(edits) == len(ids), set(ids) - {edit.id for edit in edits}
    return {one.edit.id: one for one in trials(folder, edits, _quiet, processes)}


def _copy(folder: Path) -> Path:
    own = folder / "flow"
    shutil.copytree(GOOD, own)
    return own


def test_a_weak_spot_of_each_kind_is_found() -> None:
    """Nobody would notice; and what would is told: a case with what it has to expect, or that none comes to it."""
    found = _tried(GOOD, *WEAK.values())
    assert {kind: found[name].noticed for kind, name in WEAK.items()} == dict.fromkeys(WEAK, Noticed.NONE)
    assert {kind for kind, name in WEAK.items() if found[name].edit.kind is not kind} == set()
    assert set(WEAK) == set(EditKind) - {EditKind.PEOPLE}
    assert found[WEAK[EditKind.EVIDENCE]].says == (
        'case worn, steps."dampers.bounce": evidence = { bounces-on = 1 }'
    )
    assert found[WEAK[EditKind.STOP]].says == "no case comes to it: write one"


def test_what_something_notices_is_not_weak() -> None:
    """By the form, by a proof, by a case; or nothing is changed, since the next step is next without saying."""
    found = _tried(GOOD, *HELD)
    assert {name: one.noticed for name, one in found.items()} == HELD


def test_a_case_that_expects_more_notices_more(tmp_path: Path) -> None:
    """The same case with what it sees at two steps, and the parts: what was weak is held."""
    own = _copy(tmp_path)
    case = own / "cases" / "worn.toml"
    text = case.read_text(encoding="utf-8")
    case.write_text(text.replace("[case.expect]\n", EXPECTED, 1), encoding="utf-8")
    kinds = (EditKind.VERDICT, EditKind.EVIDENCE, EditKind.EFFECT, EditKind.REACH, EditKind.PRICE)
    found = _tried(own, *(WEAK[kind] for kind in kinds))
    assert {kind: found[WEAK[kind]].noticed for kind in kinds} == dict.fromkeys(kinds, Noticed.CASE)


def test_what_the_approval_alone_notices_is_told_apart(tmp_path: Path) -> None:
    """Once a person approved the flow, a need that is gone is told; no case sees it."""
    own = _copy(tmp_path)
    flow = load(own)
    approve(own, flow, "A. Trainer", "A trial.", claims(flow), datetime(2026, 3, 2, tzinfo=UTC))
    found = _tried(own, WEAK[EditKind.NEED], WEAK[EditKind.EVIDENCE])
    assert found[WEAK[EditKind.NEED]].noticed is Noticed.APPROVAL
    assert "needs front = off" in found[WEAK[EditKind.NEED]].says
    assert found[WEAK[EditKind.EVIDENCE]].noticed is Noticed.NONE
    assert ApprovalBeside.of(own).approval is not None


def test_people_are_a_kind_of_their_own() -> None:
    """A need of who stands by is no other need: nothing of the machine shows it."""
    name = "library/machine.toml: condition.second.passing removed"
    assert _tried(GOOD, name)[name].edit.kind is EditKind.PEOPLE


@pytest.mark.parametrize("kind", [EditKind.VERDICT, EditKind.WEIGHT])
def test_two_processes_say_what_one_says(kind: EditKind) -> None:
    """The same edits, the same cases, the same words, in the same order."""
    ids = (WEAK[kind], next(iter(HELD)))
    assert list(_tried(GOOD, *ids, processes=2).items()) == list(_tried(GOOD, *ids).items())


PARENT = """
import sys
from pathlib import Path
from wizard.flowcheck.weak.flow_edits import flow_edits
from wizard.flowcheck.weak.edit_trial import bench
from wizard.flowcheck.weak.trial_work import trials

if __name__ == "__main__":
    folder = Path(sys.argv[1])
    edits = flow_edits(bench(folder).base.index)
    told = lambda what, done, whole: print(what, done, flush=True)
    for _ in trials(folder, edits, told, processes=2):
        pass
"""


def test_processes_end_with_the_one_that_began_them(tmp_path: Path) -> None:
    """Whoever ends the program from outside leaves nothing behind: its pipe is closed once all who hold it are gone."""
    script = tmp_path / "parent.py"
    script.write_text(PARENT, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, str(script), str(GOOD)],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        cwd=ROOT,
    ) as program:
        assert program.stdout is not None
        assert program.stdout.readline()  # a process has played a case, and holds the same pipe
        program.kill()
        program.communicate(timeout=60)  # comes to an end once every process that could write is gone
    assert program.returncode != 0
