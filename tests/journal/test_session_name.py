"""How sessions are called: a name to say aloud, and one that no other computer gives."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from wizard.errors import UsageError
from wizard.journal import session_name
from wizard.journal.home_folder import Home
from wizard.journal.session_name import (
    MARK_LETTERS,
    fresh_mark,
    is_own_name,
    is_session,
    name_beside,
    name_order,
    new_name,
    short_name,
)

TODAY = date(2026, 11, 25)
draw = fresh_mark
"""The real one: the fixture of all tests takes its place in the module."""


@pytest.mark.parametrize(
    ("taken", "wanted"),
    [
        ((), "a"),
        (("a",), "b"),
        (("a", "c"), "d"),
        (("z",), "aa"),
        (("b", "aa"), "ab"),
        (("az",), "ba"),
        (("azz",), "baa"),
        (("zz",), "aaa"),
    ],
)
def test_letters_run_on(taken: tuple[str, ...], wanted: str) -> None:
    """After z comes aa; an id is never used again while a later one is there."""
    assert new_name(TODAY, [f"2026-11-25-{letters}" for letters in taken], "") == f"2026-11-25-{wanted}"


def test_ids_of_other_days_do_not_count() -> None:
    """Each day starts at a; a moment will do for a day."""
    assert new_name(datetime(2026, 11, 25, 8, tzinfo=UTC), ["2026-11-24-f"], "") == "2026-11-25-a"


def test_a_day_can_run_out() -> None:
    """A stuck clock is said, not looped on."""
    with pytest.raises(UsageError, match="clock"):
        new_name(TODAY, ["2026-11-25-zzz"], "")


def test_two_laptops_never_give_one_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Twelve homes that each begin ten jobs on one day: 120 names, and each home says a to j aloud."""
    monkeypatch.setattr(session_name, "fresh_mark", draw)
    homes = [[Home(tmp_path / str(n)).new_session(TODAY) for _ in range(10)] for n in range(12)]
    assert len({name for names in homes for name in names}) == 120
    assert {tuple(short_name(name)[-1] for name in names) for names in homes} == {tuple("abcdefghij")}


def test_a_mark_has_nothing_that_is_misread() -> None:
    """No 0 1 i l o u in any of a thousand; all that is drawn makes a name."""
    marks = {draw() for _ in range(1000)}
    assert len(marks) == 1000
    assert not set("".join(marks)) & set("01ilou") and set("".join(marks)) == set(MARK_LETTERS)
    assert all(is_session(new_name(TODAY, (), mark)) for mark in marks)


@pytest.mark.parametrize(
    "name",
    [
        "2026-11-25-a-k7m3q",
        "2026-11-25-a-k7m3qdd",
        "2026-11-25-a-K7M3QD",
        "2026-11-25-a-k7m3q1",
        "2026-11-25-a-",
    ],
)
def test_what_is_no_mark_makes_no_name(name: str) -> None:
    """Too short, too long, capitals, a digit that is misread, none."""
    assert not is_session(name)
    with pytest.raises(UsageError, match="is no session"):
        name_order(name)


def test_a_session_is_found_by_what_is_said_aloud(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where one alone has that day and letter; where two have, both are named; a whole name is always that one."""
    marks = iter(["k7m3qd", "w2x4yz"])
    monkeypatch.setattr(session_name, "fresh_mark", lambda: next(marks))
    home = Home(tmp_path)
    first, second = home.new_session(TODAY), home.new_session(TODAY)
    assert (first, second) == ("2026-11-25-a-k7m3qd", "2026-11-25-b-w2x4yz")
    assert home.find("2026-11-25-a") == first and home.find(second) == second
    other = home.sessions / "2026-11-25-a-pppppp"
    other.mkdir()
    with pytest.raises(UsageError, match=f"several sessions: .*{first}"):
        home.find("2026-11-25-a")
    (home.sessions / "2026-11-25-a").mkdir()
    assert home.find("2026-11-25-a") == "2026-11-25-a"
    assert home.find("2026-11-25-z") == "2026-11-25-z", "what is not there is said by whoever opens it"


def test_a_journal_lies_only_where_its_name_or_its_seals_say() -> None:
    """Beside another of its name under what its own seals have; nowhere else."""
    chains = ["4f09c2ab" + "0" * 56, "77aa00ff" + "1" * 56]
    session = "2026-11-25-a-k7m3qd"
    beside = name_beside(session, chains[1])
    assert beside == "2026-11-25-a-k7m3qd-77aa00ff" and is_session(beside)
    assert is_own_name(session, session, ()) and is_own_name(beside, session, chains)
    assert not is_own_name(beside, session, chains[:1])
    assert not is_own_name("2026-11-25-b-k7m3qd", session, chains)
