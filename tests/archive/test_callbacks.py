"""Machines that came back: worked by hand, and against a plain loop over all pairs."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.cli.test_archive_command import ROW
from wizard.archive.callbacks import callbacks


def visit(day, serial="0044711A", letter="a", **more):
    return replace(ROW, session=f"{day}-{letter}", day=day, serial=serial, **more)


def pairs(found):
    return [(one.before.session, one.after.session, one.days) for one in found]


def test_the_same_serial_within_the_days_is_one_that_came_back():
    """30 days are within 30, 31 are not; each job is held against the last before it."""
    rows = [visit("2026-03-02"), visit("2026-04-01"), visit("2026-05-02"), visit("2026-05-04", letter="b")]
    assert pairs(callbacks(rows, 30)) == [
        ("2026-05-02-a", "2026-05-04-b", 2),
        ("2026-03-02-a", "2026-04-01-a", 30),
    ]
    assert len(callbacks(rows, 31)) == 3 and pairs(callbacks(rows, 1)) == []


def test_a_serial_is_the_same_however_it_is_written():
    """Case, spaces and dashes; another maker's is another machine."""
    rows = [visit("2026-03-02", "004 471-1a"), visit("2026-03-04", "0044711A", maker="OSTARA")]
    assert len(callbacks(rows, 9)) == 1
    assert callbacks([rows[0], replace(rows[1], maker="Velum")], 9) == ()


@pytest.mark.parametrize("serial", ["", " ", "-", "__"])
def test_what_nobody_noted_is_no_machine(serial):
    """Two machines without a plate are not one."""
    assert callbacks([visit("2026-03-02", serial), visit("2026-03-04", serial)], 9) == ()


def test_nothing_came_back_after_what_was_not_closed():
    """Nor where a folder's name is no day of the calendar."""
    assert callbacks([visit("2026-03-02", outcome="under-way"), visit("2026-03-04")], 9) == ()
    assert callbacks([visit("2026-99-99"), visit("2026-99-99", letter="b")], 9) == ()


@given(
    st.lists(st.tuples(st.integers(0, 60), st.sampled_from("XYZ")), max_size=12, unique_by=lambda v: v[0]),
    st.integers(0, 40),
)
def test_it_is_what_a_loop_over_all_pairs_finds(visits, within):
    """With no other visit of that machine between the two."""
    first = date(2026, 1, 1)
    rows = [visit((first + timedelta(days=day)).isoformat(), f"S{serial}") for day, serial in visits]
    wanted = {
        (a.session, b.session)
        for a in rows
        for b in rows
        if a.serial == b.serial
        and 0 < (date.fromisoformat(b.day) - date.fromisoformat(a.day)).days <= within
        and not any(c.serial == a.serial and a.day < c.day < b.day for c in rows)
    }
    assert {(a, b) for a, b, _days in pairs(callbacks(rows, within))} == wanted
