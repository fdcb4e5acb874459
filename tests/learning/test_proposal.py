"""The proposal as a file, what is chosen of it, and a disk that refuses half way."""

from __future__ import annotations

import os
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from tests.helpers.drawn_sessions import drawn, shake
from tests.helpers.jobs import GOOD
from wizard.errors import FlowError, UsageError
from wizard.flow.parsing import flow_files
from wizard.learning import taking
from wizard.learning.estimate import Estimate, NumberId, NumberKind, NumberStanding
from wizard.learning.learner import learn
from wizard.learning.observation import LeftOut, WhyLeftOut
from wizard.learning.proposal import Proposal, ProposedNumber, Taking, load, path_of, propose, to_toml

LEAK = NumberId(NumberKind.LEAK, "walks")
WEIGHT = NumberId(NumberKind.WEIGHT, "walks", "transit-in")
SHARES = tuple(NumberId(NumberKind.SHARE, f, "front-loader") for f in ("dampers-worn", "transit-in"))


def number(which: NumberId, old: float, new: float, stands: NumberStanding) -> ProposedNumber:
    """A number whose interval is as it must be for it to stand so."""
    low, high = (new, new) if stands is NumberStanding.CHANGE else (0.0, 100.0)
    missing = 3 if stands is NumberStanding.FEW else 0
    return ProposedNumber(Estimate(which, old, old if missing else new, low, high, 9.0, missing), new)


def proposal(*numbers: ProposedNumber) -> Proposal:
    return Proposal("good", "1", "d", "2026-01-01T00:00:00Z", 9, 0, {}, {}, numbers)


def test_a_proposal_is_read_as_it_was_written(tmp_path: Path) -> None:
    """What is learned of drawn sessions, with sessions left out and a taking; numbers to six figures."""
    learned = learn(shake(), drawn(shake(), 150, 3))
    left = [LeftOut("a", WhyLeftOut.FORGED, "event 3"), LeftOut("b", WhyLeftOut.FORGED)]
    taken = (Taking("2026-01-01T00:00:00Z", {LEAK: 0.1}, {LEAK: 0.2}),)
    made = propose(shake(), learned, left, "2026-01-02T00:00:00Z", taken)
    path = tmp_path / "x.learned.toml"
    path.write_bytes(to_toml(made))
    read = load(path)
    assert read is not None and replace(read, numbers=(), score={}) == replace(made, numbers=(), score={})
    assert read.left_out == {WhyLeftOut.FORGED.value: ("a", "b")}
    assert {n.id: (n.new, n.estimate.standing) for n in read.numbers} == {
        n.id: (n.new, n.estimate.standing) for n in made.numbers
    }
    assert read.score["sessions"] == 45 and read.score["log-loss-old"] == pytest.approx(
        learned.held_out.log_loss.old, rel=1e-5
    )
    assert to_toml(read) == to_toml(made)
    assert load(tmp_path / "none.toml") is None


def test_all_takes_what_changes_and_a_share_brings_its_kind() -> None:
    """What agrees or is too few stays; of a kind all shares change together."""
    some = proposal(
        number(LEAK, 0.1, 0.2, NumberStanding.CHANGE),
        number(WEIGHT, 0.9, 0.8, NumberStanding.AGREES),
        number(SHARES[0], 60.0, 50.0, NumberStanding.CHANGE),
        number(SHARES[1], 20.0, 30.0, NumberStanding.AGREES),
    )
    shares = {SHARES[0]: 50.0, SHARES[1]: 30.0}
    assert some.chosen() == {LEAK: 0.2, **shares}
    assert some.chosen([LEAK]) == {LEAK: 0.2} and some.chosen([WEIGHT]) == {WEIGHT: 0.8}
    assert some.chosen([SHARES[1]]) == shares
    few = proposal(number(LEAK, 0.1, 0.1, NumberStanding.FEW))
    assert few.chosen() == {}
    with pytest.raises(UsageError, match="3 more"):
        few.chosen([LEAK])


def test_the_trainers_number_is_that_of_before_the_first_taking() -> None:
    """Taken twice."""
    takings = (
        Taking("", {LEAK: 0.1}, {LEAK: 0.2}),
        Taking("", {LEAK: 0.2, WEIGHT: 0.9}, {LEAK: 0.3, WEIGHT: 0.8}),
    )
    assert replace(proposal(), taken=takings).trainer == {LEAK: 0.1, WEIGHT: 0.9}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(GOOD, tmp_path / "good"))


@pytest.mark.parametrize("refused", ["faults.toml", "good.learned.toml"])
def test_a_disk_that_refuses_leaves_the_flow_as_it_was(
    folder: Path, monkeypatch: pytest.MonkeyPatch, refused: str
) -> None:
    """At the second file of two, or at the proposal itself: what was put is put back."""
    numbers = (
        number(LEAK, 0.1, 0.2, NumberStanding.CHANGE),
        number(SHARES[0], 60.0, 59.0, NumberStanding.CHANGE),
    )
    before, put = flow_files.read_folder(folder), taking.put

    def full(path: Path, data: bytes) -> None:
        if path.name == refused:
            raise OSError(28, "No space left on device")
        put(path, data)

    monkeypatch.setattr(taking, "put", full)
    with pytest.raises(FlowError, match="full"):
        taking.take(folder, proposal(*numbers), {LEAK: 0.2, SHARES[0]: 59.0}, "now", lambda _files: ())
    assert flow_files.read_folder(folder) == before and not path_of(folder).exists()


def test_taken_twice_is_taken_back_one_by_one(folder: Path) -> None:
    """The last first; the rights of the files stay."""
    (folder / "findings.toml").chmod(0o644)
    before = flow_files.read_folder(folder)
    one = proposal(number(LEAK, 0.1, 0.2, NumberStanding.CHANGE))
    first = taking.take(folder, one, {LEAK: 0.2}, "first", lambda _files: ())
    again = replace(first, numbers=(number(LEAK, 0.2, 0.3, NumberStanding.CHANGE),))
    second = taking.take(folder, again, {LEAK: 0.3}, "second", lambda _files: ())
    assert load(path_of(folder)) == second and second.trainer == {LEAK: 0.1}
    back, last = taking.take_back(folder, second, lambda _files: ())
    assert last.at == "second" and back.taken == first.taken
    back, last = taking.take_back(folder, back, lambda _files: ())
    assert last.at == "first" and flow_files.read_folder(folder) == before
    assert os.name == "nt" or (folder / "findings.toml").stat().st_mode & 0o777 == 0o644
    with pytest.raises(UsageError, match="nothing to take back"):
        taking.take_back(folder, back, lambda _files: ())
