"""Sessions by words and facts: each filter against rows that were made for it, and against a plain search."""

import os
import sqlite3

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import event
from sqlalchemy.dialects import postgresql

from tests.helpers.flows.examples import examples
from wizard.archive import archive_rows, page_finding
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder, in_order, statement
from wizard.archive.full_text import PostgresText, SqliteText, full_text
from wizard.archive.risk import FLAGS, OUTCOMES, reasons, risk_of
from wizard.archive.session_appraisal import SessionAppraisal
from wizard.archive.session_facts import SessionFacts, SessionTag, SignStanding, TagKind
from wizard.domain.vocabulary import JobOutcome
from wizard.errors import UsageError
from wizard.review.flags.flag_id import FlagId


def facts(letter, day="2026-03-02", words="", tags=(), **more):
    return SessionFacts(f"{day}-{letter}", day, words=words, tags=tuple(tags), **more)


MADE = (
    facts("a", maker="Ostara", model="OS410", serial="0044711A", kind="front-loader", outcome="proved",
          words="It bangs. Bearings worn\nR. Vale", job_state="closed",
          tags=[SessionTag(TagKind.FAULT, "bearings"), SessionTag(TagKind.PERSON, "R. Vale")]),
    facts("b", "2026-03-09", maker="Velum", model="VE7", serial="0044712A", kind="top-hung", outcome="declined",
          words="Es schlägt, Lager 100 % hin; \"quoted\" it's", standing=SignStanding.SIGNED, signed_by="C. Marsh",
          tags=[SessionTag(TagKind.PART, "rods"), SessionTag(TagKind.PERSON, "S. Ash")]),
    facts("c", "2026-04-01", maker="ostara", model="x_y", serial="", kind="front-loader", outcome="under-way",
          words="it walks and bangs", tags=[SessionTag(TagKind.PERSON, who) for who in ("R. Vale", "S. Ash")]),
)  # fmt: skip


SERVER = os.environ.get("STEADFOOT_TEST_POSTGRES", "")
"""The URL of an empty PostgreSQL database that the same is asked of, such as postgresql+psycopg://user@host/name."""


@pytest.fixture(
    scope="module",
    params=["sqlite", pytest.param("postgresql", marks=pytest.mark.skipif(not SERVER, reason="no server"))],
)
def index(request, tmp_path_factory):
    url = SERVER if request.param == "postgresql" else ""
    with ArchiveIndex.open(tmp_path_factory.mktemp("query"), url) as made:
        made.clear()
        made.put([("mark", one) for one in MADE])
        made.appraised(
            [SessionAppraisal(MADE[2].session, "", (FlagId.NO_PROVING,), 30, ("repair never proved",))]
        )
        yield made


def found(index, **asked):
    """The letters of what is found, in order."""
    return "".join(row.session[-1] for row in index.find(ArchiveFilter(**asked)).rows)


@pytest.mark.parametrize(
    ("asked", "wanted"),
    [
        ({}, "cba"),
        ({"order": ArchiveOrder.NEWEST}, "cba"),
        ({"machine": "OSTARA"}, "ca"), ({"machine": "ve7"}, "b"), ({"maker": "osta"}, "ca"), ({"maker": "VE7"}, ""),
        ({"machine": "x_y"}, "c"), ({"machine": "x%"}, ""), ({"machine": "_"}, "c"),
        ({"serial": "4471"}, "ba"), ({"serial": "4711a"}, "a"), ({"kind": "Front-Loader"}, "ca"),
        ({"fault": "bearings"}, "a"), ({"fault": "bear"}, ""), ({"part": "rods"}, "b"),
        ({"technician": "ash"}, "cb"), ({"technician": "r. vale"}, "ca"),
        ({"since": "2026-03-09"}, "cb"), ({"until": "2026-03-09"}, "ba"),
        ({"since": "2026-03", "until": "2026-03"}, "ba"),
        ({"since": "2026", "until": "2026"}, "cba"), ({"until": "2025"}, ""),
        ({"outcome": "declined"}, "b"), ({"outcome": "under-way"}, "c"), ({"flag": "no-proving"}, "c"),
        ({"about": "evidence"}, "c"), ({"about": "evidence", "gravity": "high"}, "c"), ({"about": "safety"}, ""),
        ({"about": "evidence", "gravity": "low"}, ""), ({"gravity": "high"}, "c"),
        ({"sign": "signed"}, "b"), ({"sign": "unsigned"}, "ca"),
        ({"words": "bangs"}, "ca"), ({"words": "BANG walks"}, "c"), ({"words": "bear"}, "a"),
        ({"words": "schlagt"}, "b"),
        ({"words": "100 %"}, "b"), ({"words": "it's"}, "b"), ({"words": "\"quoted\""}, "b"), ({"words": "..."}, "cba"),
        ({"words": "angs"}, ""), ({"words": "NEAR OR NOT ( * ^ :"}, ""),
        ({"words": "bangs", "technician": "ash", "kind": "front-loader"}, "c"),
    ],
)  # fmt: skip
def test_each_filter_finds_what_it_says(index, asked, wanted):
    """Parts of texts in any case, ids whole, words from their beginning; nothing in one is the database's own."""
    assert found(index, **asked) == wanted


@pytest.mark.parametrize("day", ["1", "2026-3", "yesterday", "2026-03-02-a", "2026-03-02 "])
def test_a_day_that_is_none_is_said(index, day):
    """Not silently nothing."""
    with pytest.raises(UsageError, match="is no day"):
        index.find(ArchiveFilter(since=day))


def test_too_many_words_are_said(index):
    """A pasted page is no search."""
    with pytest.raises(UsageError, match="20 at most"):
        index.find(ArchiveFilter(words="w " * 30))


def test_a_page_is_a_part_of_all(index):
    """In order, with the count of all."""
    pages = [index.find(ArchiveFilter(), 1, after) for after in range(3)]
    assert "".join(p.rows[0].session[-1] for p in pages) == "cba" and {p.count for p in pages} == {3}
    assert index.find(ArchiveFilter(), 5, 3).rows == () and pages[0].unappraised == 2


def test_a_page_is_counted_no_further_than_it_is_read(index, monkeypatch):
    """Over the bound only that there are more is said; where all are asked for, they are all counted."""
    monkeypatch.setattr(page_finding, "COUNTED", 2)
    first, all_of = index.find(ArchiveFilter(), 1), index.find(ArchiveFilter())
    assert (first.count, first.more, first.counted) == (2, True, "over 2")
    assert (all_of.count, all_of.more, all_of.counted) == (3, False, "3")
    last = index.find(ArchiveFilter(), 1, 2)
    assert [row.session[-1] for row in last.rows] == ["a"] and last.counted == "3"
    assert index.find(ArchiveFilter(words="bangs"), 1).counted == "2"


DAYS = ("2026-03-02", "2026-03-10", "2025-12-31")


@given(
    st.lists(
        st.tuples(st.sampled_from(DAYS), st.integers(0, 30), st.integers(0, 3)), unique_by=lambda x: x[:2]
    )
)
@settings(max_examples=examples(25), deadline=None)
def test_pages_come_in_the_order_that_is_asked_for(tmp_path_factory, some):
    """By risk or by date, of one day the later letter first ('-aa' is behind '-z'): against a plain sort."""
    made = {}
    for day, number, risk in some:
        letters = "abcdefghijklmnopqrstuvwxyz"
        made[f"{day}-{letters[number] if number < 26 else 'a' + letters[number - 26]}"] = risk, number
    with ArchiveIndex.open(tmp_path_factory.mktemp("order")) as here:
        here.put([("m", SessionFacts(name, name[:10], words="bang")) for name in made])
        here.appraised([SessionAppraisal(name, "", (), risk, ()) for name, (risk, _number) in made.items()])
        newest = sorted(made, key=lambda name: (name[:10], made[name][1]), reverse=True)
        riskiest = sorted(newest, key=lambda name: -made[name][0])
        for order, wanted in ((ArchiveOrder.NEWEST, newest), (ArchiveOrder.RISK, riskiest)):
            asked = ArchiveFilter(words="b", order=order)
            pages = [here.find(asked, 4, after) for after in range(0, len(made) + 1, 4)]
            assert [row.session for one in pages for row in one.rows] == wanted


@pytest.mark.parametrize("order", list(ArchiveOrder))
@pytest.mark.parametrize(
    "asked",
    [
        {}, {"words": "bangs"}, {"words": "bangs", "kind": "front-loader"}, {"words": "b", "flag": "no-proving"},
        {"words": "bangs walks", "outcome": "proved", "serial": "44"}, {"technician": "vale", "sign": "to-read"},
        {"machine": "ostara", "words": "it"}, {"flow": "washer-shake", "version": "ab"},
    ],
)  # fmt: skip
def test_a_page_is_walked_in_its_order_in_one_index(tmp_path, asked, order):
    """SQLite's own plan: no row is looked up and nothing is sorted but the page, however many have a common word."""
    with ArchiveIndex.open(tmp_path) as here:
        here.put([("mark", one) for one in MADE])
        made = in_order(ArchiveFilter(**asked, order=order), here.text, 1_001)
        ran = []
        with here.begin() as db:
            event.listen(db, "before_cursor_execute", lambda *them: ran.append(them[2:4]))
            db.execute(made)
            plan = [row[3] for row in db.exec_driver_sql(f"EXPLAIN QUERY PLAN {ran[0][0]}", ran[0][1])]
    wanted = "session_queue" if order is ArchiveOrder.RISK else "session_newest"
    assert plan[0] == f"SCAN session USING COVERING INDEX {wanted}"
    assert not [step for step in plan if "FOR ORDER BY" in step]


def test_either_database_takes_stock_and_finds_the_same(index, monkeypatch):
    """Asked for by what the index holds; what it notes of that is how many there were."""
    monkeypatch.setattr(archive_rows, "AT_ONCE", 1)
    before = found(index, words="bangs", kind="front-loader")
    with index.begin() as db:
        archive_rows.take_stock(db, index.text)
        assert archive_rows.noted(db, "stock") == "3"
    assert found(index, words="bangs", kind="front-loader") == before == "ca"


WORDS = ("bang", "bangs", "walk", "bearing", "rods", "floor", "ünten", "x1")


@given(
    st.lists(st.lists(st.sampled_from(WORDS), max_size=5), max_size=8),
    st.lists(st.sampled_from([w[:n] for w in WORDS for n in (1, 2, 4, 9)]), min_size=1, max_size=3),
)
@settings(max_examples=examples(30), deadline=None)
def test_words_find_what_a_plain_search_finds(tmp_path_factory, texts, asked):
    """Every word asked begins one of the session's: against a loop over the texts, umlauts as their letter."""
    plain = str.maketrans("ü", "u")
    made = [facts(chr(97 + n), words=" ".join(text)) for n, text in enumerate(texts)]
    with ArchiveIndex.open(tmp_path_factory.mktemp("words")) as index:
        index.put([("m", one) for one in made])
        wanted = {
            one.session
            for one in made
            if all(
                any(w.translate(plain).startswith(a.translate(plain)) for w in one.words.split())
                for a in asked
            )
        }
        assert {row.session for row in index.find(ArchiveFilter(words=" ".join(asked))).rows} == wanted


def test_written_over_many_times_the_words_stay_in_step(tmp_path):
    """A session is put and forgotten again and again: FTS5's own check finds nothing, and no word of before is left."""
    with ArchiveIndex.open(tmp_path) as index:
        for n in range(6):
            index.put([("m", facts(x, words=f"turn{n} {x}x")) for x in "abc"])
            index.put((), [f"2026-03-02-{'abc'[n % 3]}"])
        assert found(index, words="turn5") == "ba" and found(index, words="turn4") == ""
        with sqlite3.connect(tmp_path / "archive.db") as db:
            db.execute("INSERT INTO session_words(session_words, rank) VALUES ('integrity-check', 1)")
            assert db.execute("SELECT count(*) FROM session_words").fetchone() == (2,)
            assert db.execute(
                "SELECT count(*) FROM tag WHERE number NOT IN (SELECT number FROM session)"
            ).fetchone() == (0,)
        db.close()


def test_the_same_is_asked_of_postgresql(index):
    """Its statements are made by its own dialect; no server is asked."""
    asked = ArchiveFilter(
        words="bang wal'k", machine="x_y", technician="ash", since="2026-03", flag="no-proving"
    )
    made = [
        one.compile(dialect=postgresql.dialect())
        for one in (statement(asked, PostgresText()), in_order(asked, PostgresText(), 20))
    ]
    for one in made:
        assert "to_tsquery('simple', " in str(one) and "bang:* & wal:* & k:*" in one.params.values()
    assert ["LIMIT" in str(one).splitlines()[-1] for one in made] == [False, True]
    assert isinstance(full_text("postgresql"), PostgresText) and isinstance(full_text("sqlite"), SqliteText)
    with pytest.raises(UsageError, match="SQLite or PostgreSQL"):
        full_text("mysql")


def test_a_url_that_is_none_is_said(tmp_path):
    """And a database that can't be reached, without its password."""
    with pytest.raises(UsageError, match="can't be used"):
        ArchiveIndex.open(tmp_path, "nonsense")
    with pytest.raises(UsageError, match=r"(?i)mysql"):
        ArchiveIndex.open(tmp_path, "mysql://user@host/name")


def test_every_flag_and_every_outcome_that_is_no_success_has_its_points():
    """A flag that is added without points would be no reason to read a session."""
    assert set(FLAGS) == set(FlagId)
    assert set(OUTCOMES) == {*(o.value for o in JobOutcome), "under-way", "damaged-end"} - {
        "proved",
        "on-order",
    }
    assert all(one.points > 0 and one.says for one in (*FLAGS.values(), *OUTCOMES.values()))


def test_risk_is_the_sum_of_its_reasons_the_gravest_first():
    """Worked by hand: 100 + 25 + 12; signed off, nothing; what does not verify stays, signed or not."""
    made = facts("a", outcome="not-proved", job_state="closed")
    why = reasons(made, (FlagId.LATE_EDIT, FlagId.AGAINST_RULES, FlagId.LATE_EDIT), "")
    assert [r.points for r in why] == [100, 25, 12] and risk_of(why) == 137
    signed = facts("a", outcome="not-proved", job_state="closed", standing=SignStanding.SIGNED)
    assert reasons(signed, (FlagId.AGAINST_RULES,), "") == ()
    assert risk_of(reasons(signed, (), "A block was altered.")) == 225
    stopped = facts("a", outcome="under-way", job_state="stopped")
    assert [r.says for r in reasons(stopped, (), "")] == ["work stopped, not closed"]
    assert reasons(facts("a", outcome="proved", job_state="closed"), (), "") == ()
