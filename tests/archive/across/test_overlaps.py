"""Jobs of one person at the same time: the sweep against every pair held beside every other."""

from hypothesis import given
from hypothesis import strategies as st

from wizard.archive.across.overlaps import LEAST, WorkTime, overlapping

TIMES = st.builds(
    lambda person, session, begin, long: WorkTime(person, session, begin, begin + long),
    st.sampled_from(["R. Vale", "r. vale", "S. Ash"]),
    st.sampled_from("abcd"),
    st.integers(0, 3000),
    st.integers(1, 2000),
)


@given(st.lists(TIMES, max_size=30))
def test_the_sweep_finds_every_pair_and_no_other(times):
    """Each pair of stretches of one person in two sessions that share two minutes, found by holding all to all."""
    ordered = sorted(times, key=lambda one: (one.begin, one.session))
    wanted = [
        (a, b, min(a.end, b.end) - max(a.begin, b.begin))
        for n, b in enumerate(ordered)
        for a in ordered[:n]
        if a.session != b.session
        and a.person.casefold() == b.person.casefold()
        and min(a.end, b.end) - max(a.begin, b.begin) >= LEAST
    ]
    found = [(o.first, o.second, o.seconds) for o in overlapping(ordered)]
    assert sorted(found, key=repr) == sorted(wanted, key=repr)


def test_clocks_that_differ_by_a_minute_are_no_overlap():
    times = [WorkTime("R. Vale", "a", 0, 1000), WorkTime("R. Vale", "b", 1000 - LEAST + 1, 3000)]
    assert not list(overlapping(times))
    assert [o.seconds for o in overlapping([times[0], WorkTime("R. Vale", "b", 1000 - LEAST, 3000)])] == [
        LEAST
    ]
