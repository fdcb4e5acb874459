"""``steadfoot archive flags``: the rates of rules, a threshold taken and taken back by commands alone."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.helpers.learned_home import indexed_home
from tests.helpers.stored_sessions import store_at
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.thresholds import load
from wizard.sessions.judged_flags import JudgedFlag, judge


@pytest.fixture
def shop(home: Path) -> Path:
    """Nine proved jobs; of each a quick step was judged: fair up to .15 of its minutes, not fair from .25."""
    store = store_at(indexed_home(home))
    for n, name in enumerate(store.home.list_ids()):
        said = JudgedFlag("C. Marsh", "2026-03-04T08:00:00Z", "step-quick", 9, n < 5, 0.15 if n < 5 else 0.25)
        judge(store.home.session_folder(name), said)
    return home


def test_rates_are_shown_and_a_threshold_is_taken_and_undone(run: Run, shop: Path) -> None:
    """Nothing changes by looking; taken, it is in the shop's file; undone, there is none again."""
    said = run("archive", "flags", "--processes", "1")
    row = next(line for line in said.out.splitlines() if line.startswith("step-quick")).split()
    assert row[2:5] == ["5", "9", "56"] and "share 0.3" in said.out and "0.2" in row
    assert "would still raise all 5 that were called fair and drop 4" in " ".join(said.out.split())
    assert not (shop / "flags.toml").exists()
    assert run("archive", "flags", "--take", "step-quick", "--quick").out == (
        "Taken: [step-quick] share = 0.2, which was 0.3.\n"
    )
    assert load(shop).number(FlagId.STEP_QUICK, "share") == 0.2
    assert run("archive", "flags", "--undo").out == "Taken back: [step-quick] share = 0.3, which was 0.2.\n"
    assert not (shop / "flags.toml").exists() and run("archive", "flags", "--undo").code == 2


def test_json_has_every_rule(run: Run, shop: Path) -> None:
    """With what is proposed, or why nothing is."""
    rows = {row["rule"]: row for row in json.loads(run("archive", "flags", "--json", "--quick").out)}
    assert set(rows) == {rule.value for rule in FlagId}
    assert rows["step-quick"]["proposal"]["proposed"] == 0.2 and rows["search-open"]["why"]


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("--take", "search-open"), "Nothing is proposed for search-open"),
        (("--take", "step-quik"), "There is no flag 'step-quik'"),
        (("--take", "step-quick", "--undo"), "Leave one out"),
    ],
)
def test_what_cant_be_taken_is_said(run: Run, shop: Path, asked: tuple[str, ...], says: str) -> None:
    """In a line; nothing is written."""
    said = run("archive", "flags", "--quick", *asked)
    assert said.code == 2 and says in said.err and not (shop / "flags.toml").exists()
