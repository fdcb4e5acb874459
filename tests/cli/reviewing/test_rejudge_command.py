"""``steadfoot session rejudge``: in lines, as JSON, of one and of all."""

import json
import shutil

import pytest

from tests.helpers.flows.flow_folders import GOOD
from tests.helpers.learned_home import indexed_home


@pytest.fixture
def shop(home):
    """A home with nine proved jobs."""
    return indexed_home(home)


@pytest.fixture
def other(tmp_path):
    """The small flow with a lower limit, of another version."""
    folder = tmp_path / "other"
    shutil.copytree(GOOD, folder)
    for name, old, new in (
        ("limits.toml", "below = 30", "below = 10"),
        ("flow.toml", 'version = "1"', 'version = "2"'),
    ):
        path = folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")
    return folder


def test_what_differs_is_said_with_both_limits(run, shop, other):
    """The verdicts, the limits, the readings, the findings, and who led."""
    said = run("session", "rejudge", "2026-03-02-a", "--flow", str(other))
    assert said.code == 0 and "by washer-bounce 2: 21 answers judged once more, 1 otherwise." in said.out
    assert "dampers.pull: fail then, watch now." in said.out
    assert "then: Pull of one damper: fail below 30 N" in said.out
    assert "now: Pull of one damper: fail below 10 N" in said.out
    assert "Ranking at the decision, now:" in said.out and "Decided then: dampers-worn." in said.out


def test_of_all_sessions_there_is_a_sum(run, shop, other):
    """A line over the nine; by their own flow none differs."""
    assert (
        "9 sessions judged once more: 9 differ somewhere"
        in run("session", "rejudge", "--all", "--flow", str(other)).out
    )
    assert "0 differ somewhere" in run("session", "rejudge", "--all", "--flow", str(GOOD)).out


def test_json_has_the_same(run, shop, other):
    """For programs."""
    (one,) = json.loads(run("session", "rejudge", "2026-03-02-a", "--flow", str(other), "--json").out)
    (change,) = one["changes"]
    assert change["step"] == "dampers.pull" and change["verdict"] == {"then": "fail", "now": "watch"}
    assert one["flow"] == {
        "then": {"id": "washer-bounce", "version": "1"},
        "now": {"id": "washer-bounce", "version": "2"},
    }


def test_what_cannot_be_is_said(run, shop, tmp_path):
    """No session and no --all; both; a flow that isn't there; a sheet that is none."""
    for args in ((), ("2026-03-02-a", "--all")):
        said = run("session", "rejudge", *args)
        assert said.code == 2 and "--all" in said.err
    said = run("session", "rejudge", "2026-03-02-a")
    assert said.code == 2 and "washer-bounce" in said.err
    sheet = tmp_path / "none.toml"
    sheet.write_text("[sheet]\n", encoding="utf-8")
    said = run("session", "rejudge", "2026-03-02-a", "--flow", str(GOOD), "--sheet", str(sheet))
    assert said.code == 3 and "not a service sheet" in said.err
