"""The list of the home screen."""

from wizard.screens.viewmodels.home_list import HomeList
from wizard.screens.viewmodels.session_list import Summary

TWO = HomeList((("shake", "A washer that shakes"),), ("b", "a"))
GOING = Summary("b", "Mon 2 Mar", "It bangs when it starts to spin.", "under way", "R. Vale", True)


def test_flows_stand_before_sessions_and_each_line_leads_to_its_own():
    """The first lines begin a job, the others take one up."""
    assert [TWO.flow(n) for n in range(3)] == ["shake", "", ""]
    assert [TWO.session(n) for n in (1, 2)] == ["b", "a"] and TWO.newest("b") and not TWO.newest("a")


def test_the_keys_say_what_enter_does_with_the_marked_line():
    """With one line there is nothing to move; with none Enter does nothing."""
    assert TWO.keys(0) == ("begin", "cursor", "new") and TWO.keys(1) == ("take-up", "cursor", "new")
    assert HomeList(TWO.flows).keys(0) == ("begin", "new") and HomeList().keys(0) == ("new",)


def test_a_session_is_its_name_until_it_was_read():
    """Then when, how it stands and the complaint, cut to the window; or that it can't be read."""
    assert [str(row) for row in TWO.rows(80)][1:] == ["b", "a"]
    read = TWO.reading(GOING).reading(Summary("a", trouble="The journal is torn."))
    _flow, going, torn = (str(row) for row in read.rows(80))
    assert going.startswith("b  Mon 2 Mar") and "under way" in going and going.endswith("...")
    assert torn == "a  can't be read" and read.technician == "R. Vale" and TWO.technician == ""


def test_a_title_is_cut_to_the_window():
    """No line is wider than it."""
    assert len(str(HomeList((("x", "y" * 200),)).rows(80)[0])) <= 76


def test_a_session_is_called_by_day_and_letter_where_no_other_has_these():
    """The mark stands where it is needed, and the line stays within the window."""
    names = ("2026-11-25-b-w2x4yz", "2026-11-25-a-k7m3qd", "2026-11-25-a-pppppp")
    read = HomeList((), names)
    for name in names:
        read = read.reading(
            Summary(
                name, "Wed 25 Nov 2026", "It bangs when it starts to spin, and walks.", "repaired, not proved"
            )
        )
    rows = [str(row) for row in read.rows(80)]
    assert rows[0].startswith("2026-11-25-b  ") and [r.split()[0] for r in rows[1:]] == list(names[1:])
    assert all(len(row) <= 80 for row in rows)
