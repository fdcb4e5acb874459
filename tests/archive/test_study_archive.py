"""The study of what the archive costs: its rows are the same for the same seed, its table stands once."""

import contextlib
import sqlite3

from tests.archive.test_archive_query import MADE
from tests.bench.archive import study_archive as study
from tests.bench.archive import study_search
from wizard.archive.archive_index import NAME, ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder
from wizard.archive.session_appraisal import SessionAppraisal
from wizard.archive.tally_kinds import SessionTally, TallyKind
from wizard.journal.session_name import is_session

TALLY = SessionTally(TallyKind.STEP, "dampers.pull", False, 10, 120)
ROWS = study.Rows(MADE, tuple(SessionAppraisal(one.session, "", (), 0, (), (TALLY,)) for one in MADE))


def test_rows_are_drawn_by_a_seed_each_with_a_name_of_its_own():
    """Days in order over two years; some machines come back; what is said has noise in it."""
    drawn = list(ROWS.drawn(300, 5))
    assert drawn == list(ROWS.drawn(300, 5)) != list(ROWS.drawn(300, 6))
    names = [facts.session for facts, _look in drawn]
    assert len(set(names)) == 300 and names == sorted(names, key=lambda n: n[:10])
    assert all(look.session == facts.session and facts.day == facts.session[:10] for facts, look in drawn)
    assert 0 < 300 - len({facts.serial for facts, _look in drawn}) < 60
    assert len({look.tallies[0].amount for _facts, look in drawn}) > 50
    assert is_session("2026-01-05-a") and all(name[11] == "a" for name in names)


def test_a_table_is_written_in_place_of_the_one_before(tmp_path, monkeypatch):
    """Under its heading and title; what else stands on the page stays."""
    page = tmp_path / "FIGURES.md"
    page.write_text("# Figures\n\n## One\n\nWords.\n", encoding="utf-8")
    monkeypatch.setattr(study, "FIGURES", page)
    study.written(study.HEAD, "10 rows, SQLite", [study.Figure("page", "1 s")])
    study.written(study.HEAD, "5 rows, PostgreSQL", [study.Figure("page", "2 s")])
    page.write_text(page.read_text(encoding="utf-8") + "\n## Last\n\nMore.\n", encoding="utf-8")
    study.written(study.HEAD, "10 rows, SQLite", [study.Figure("page", "3 s")])
    text = page.read_text(encoding="utf-8")
    assert text.count(study.HEAD) == 1 and text.count("### 10 rows, SQLite") == 1 and "1 s" not in text
    assert all(words in text for words in ("Words.", "| page | 3 s |", "| page | 2 s |", "## Last\n\nMore."))


def test_searches_are_varied_and_timed_beside_a_bare_query(tmp_path):
    """Some forty, by both orders, with every filter; what one took stands beside a count of the same words' hits."""
    asked = list(study_search.searches())
    assert 40 <= len(asked) == len(set(asked)) and {one.order for one in asked} == set(ArchiveOrder)
    names = {name for one in asked for name, _value in one.asked}
    assert names >= {
        "words",
        "kind",
        "flag",
        "outcome",
        "since",
        "sign",
        "fault",
        "technician",
        "serial",
        "machine",
    }
    with ArchiveIndex.open(tmp_path) as index:
        index.put([("mark", one) for one in MADE])
        with contextlib.closing(sqlite3.connect(tmp_path / NAME)) as bare:
            found = [
                study_search.timed(index, bare, one)
                for one in (ArchiveFilter(words="bangs"), ArchiveFilter())
            ]
    assert [one.counted for one in found] == ["2", "3"] and [len(one.bare) > 0 for one in found] == [
        True,
        False,
    ]
    lines = {one.what: one.text for one in study_search.figures(found)}
    assert lines["searches, each asked"].startswith("2, ") and "ms" in lines["page of 50, p95"]
