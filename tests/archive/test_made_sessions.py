"""The sessions that benches and demos are made of: whole, verified rule by rule, and the same for the same seed."""

from tests.bench.made_sessions import make
from tests.helpers.stored_sessions import store_at
from wizard.archive.facts_reading import facts_of
from wizard.sessions.session_verification import verified


def test_made_sessions_verify_on_whatever_day_they_are_put(tmp_path):
    """Four over a year: every block sealed, every event decided again, papers and seal; facts of their own; a seed is a
    shop.
    """
    names = make(tmp_path / "a", 4, 3, templates=1, days=300)
    store = store_at(tmp_path / "a")
    for name in names:
        found = verified(store, name)
        assert found.ok, (name, found)
    facts = [facts_of(store, name) for name in names]
    assert len({one.serial for one in facts}) == 4 and len({one.day for one in facts}) == 4
    assert all(one.technician and one.maker and "Xq" not in one.words for one in facts)
    assert make(tmp_path / "b", 4, 3, templates=1, days=300) == names
    for name in names:
        path = f"sessions/{name}/journal.toml"
        assert (tmp_path / "a" / path).read_bytes() == (tmp_path / "b" / path).read_bytes()


def test_jobs_of_cases_end_in_more_ways_than_those_of_practice(tmp_path):
    """Each is another job where there are as many; all verify on other days, and with another plate."""
    names = make(tmp_path / "a", 8, 6, templates=0, days=40, cases=8)
    store = store_at(tmp_path / "a")
    for name in names:
        found = verified(store, name)
        assert found.ok, (name, found)
    facts = [facts_of(store, name) for name in names]
    assert len({one.outcome for one in facts}) >= 3 and len({one.events for one in facts}) >= 6
    assert make(tmp_path / "b", 8, 6, templates=0, days=40, cases=8) == names
