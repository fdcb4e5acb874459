"""``steadfoot archive trends``: rows with their intervals, CSV, JSON; what can't be asked is said."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.helpers.learned_home import indexed_home
from wizard.archive.trend_cell import GROUPS, TrendGroup, TrendKind
from wizard.cli.archive import trends_command


@pytest.fixture
def shop(home: Path) -> Path:
    """A home with nine proved jobs at one machine on one day."""
    return indexed_home(home)


def test_rows_say_share_interval_and_what_is_left_out(run: Run, shop: Path) -> None:
    """Within no day eight of nine came back; the plot is ASCII."""
    said = run("archive", "trends", "--within", "0", "--processes", "1")
    lines = said.out.splitlines()
    assert said.code == 0 and lines[0] == "Machines that came back within 0 days, by month"
    assert lines[1].split()[:3] == ["month", "came", "back"]
    assert lines[2].split()[:5] == ["2026-03", "8", "9", "89", "%"] and "56.5 to 98.0 %" in lines[2]
    assert said.out.isascii() and "Not counted: 0 jobs younger than 0 days on 2026-03-02" in said.out


def test_young_jobs_are_said(run: Run, shop: Path) -> None:
    """None had thirty days to come back."""
    said = run("archive", "trends", "--processes", "1").out
    assert "9 jobs younger than 30 days" in said and "came back  of" not in said


@pytest.mark.parametrize("kind", list(TrendKind))
def test_csv_and_json_have_the_same_rows(run: Run, shop: Path, kind: TrendKind) -> None:
    """Every figure of each row, by every group that the trend has."""
    for group in GROUPS[kind]:
        asked = ("archive", "trends", kind.value, "--by", group.word, "--within", "0", "--processes", "1")
        table = json.loads(run(*asked, "--json").out)
        rows = list(csv.DictReader(io.StringIO(run(*asked, "--csv").out)))
        assert [row["key"] for row in table["rows"]] == [row["key"] for row in rows]
        assert [float(row["value"]) for row in rows] == [row["value"] for row in table["rows"]]
        assert table["trend"] == kind.value and table["by"] == group.word


def test_it_is_of_those_that_are_asked_for(run: Run, shop: Path) -> None:
    """A flow version that nobody used has no rows; the filter is said."""
    said = run("archive", "trends", "proof", "--version", "ffff", "--processes", "1").out
    assert "Only sessions with version 'ffff'." in said and "All: 0 of 0 sessions" in said
    assert "dampers-worn" in run("archive", "trends", "proof", "--technician", "vale", "--processes", "1").out


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("ranked", "--by", "part"), "has no rows by part"),
        (("back", "--target", "5"), "can't be held against"),
        (("back", "--csv", "--json"), "Leave one out"),
        (("--since", "soon"), "is no day"),
        (("people",), "people"),
    ],
)
def test_what_cant_be_asked_is_said(run: Run, shop: Path, asked: tuple[str, ...], says: str) -> None:
    """In a line, with what there is."""
    said = run("archive", "trends", "--quick", *asked)
    assert said.code == 2 and says in said.err


def test_the_words_of_a_search_may_be_those_of_a_command(run: Run, shop: Path) -> None:
    """By 'find' before them; a search that begins with an option or the home needs none."""
    assert "0 of 0 sessions with words 'trends'" in run("archive", "find", "trends", "--quick").out
    assert "9 of 9" in run("archive", "--quick", "bangs").out
    assert "9 of 9" in run("archive", "--home", str(shop), "--quick", "bangs").out
    assert "trends" in run("archive", "--help").out


def test_the_words_of_the_options_are_those_of_the_trends() -> None:
    """Written out, so that help imports nothing; never a person among the rows."""
    assert set(trends_command.KINDS) == {kind.value for kind in TrendKind}
    assert set(trends_command.GROUPS) == {group.word for group in TrendGroup}
    assert not {"technician", "person", "signed_by"} & set(trends_command.GROUPS)
