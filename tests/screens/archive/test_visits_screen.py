"""Jobs at one machine on the screen: from the list by one key, side by side at each size, each gone through again."""

from dataclasses import replace

import pytest

from tests.archive.visits.test_machine_visits import judged, visit
from tests.helpers.learned_home import indexed_home
from tests.helpers.stored_sessions import home_at, store_at
from tests.screens.archive.test_archive_screen import reviewing
from wizard.archive.archive_query import ArchiveFilter
from wizard.screens.archive.visits_lines import days_line, in_sight, text_lines


@pytest.fixture
def shop(tmp_path):
    """Nine jobs at one machine."""
    return store_at(indexed_home(tmp_path / "home"))


@pytest.mark.parametrize(("size", "count"), [((80, 24), 2), ((120, 36), 3), ((200, 60), 5)])
async def test_as_many_as_have_room_stand_side_by_side(shop, size, count):
    """The last ones; Left brings an earlier one, Right nothing beyond the last; no line runs over the edge."""
    async with reviewing(shop, size, ArchiveFilter()) as v:
        await v.press("v")
        names = sorted(shop.home.list_ids())
        assert v.name == "VisitsScreen" and f"X1: 9 jobs, {10 - count} to 9 in sight" in v.text
        assert [one.session for one in v.app.screen.in_sight] == names[-count:]
        assert all(len(line) <= size[0] for line in v.text.splitlines())
        await v.press("right")
        assert [one.session for one in v.app.screen.in_sight] == names[-count:]
        await v.press(*["left"] * 12)
        assert [one.session for one in v.app.screen.in_sight] == names[:count]
        assert "The same fault again: Dampers worn." in v.text


async def test_a_digit_goes_through_one_again(shop):
    """That of its column; a digit without a column does nothing; Esc goes back by the same way."""
    async with reviewing(shop, asked=ArchiveFilter()) as v:
        await v.press("v", "5")
        assert v.name == "VisitsScreen"
        await v.press("2")
        assert v.name == "ReviewScreen" and v.app.screen.session.name == sorted(shop.home.list_ids())[-1]
        await v.press("escape")
        assert v.name == "VisitsScreen" and "Opening" not in v.text
        await v.press("escape")
        assert v.name == "ArchiveScreen"


async def test_a_machine_without_a_number_has_no_others(tmp_path):
    """It is said, and nothing opens."""
    store = home_at(tmp_path)
    async with reviewing(store, asked=ArchiveFilter()) as v:
        page = v.app.screen.view.page
        v.app.screen.view = v.app.screen.view.with_page(
            replace(page, rows=(replace(page.rows[0], plate=""),))
        )
        await v.press("v")
        assert v.name == "ArchiveScreen" and "Nobody noted a serial number" in v.text


@pytest.mark.parametrize("width", [78, 118, 198])
def test_every_line_has_room(width):
    """Words are wrapped in their column; text of a record is harmless."""
    jobs = [
        visit(f"2026-03-0{n}", judged(18), judged(60), complaint="It \x1b[2J bangs " * 20, notes=("x" * 300,))
        for n in range(2, 2 + in_sight(width))
    ]
    lines = [line.plain for line in (days_line(jobs, width), *text_lines(jobs, width))]
    assert max(map(len, lines)) <= width and "\x1b" not in "".join(lines)
