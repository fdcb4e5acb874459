"""What was met again, by keys: the list over the queue, its evidence, and those sessions alone."""

import shutil

import pytest

from tests.helpers.learned_home import indexed_home
from tests.helpers.stored_sessions import home_at, store_at
from tests.screens.archive.test_archive_screen import reviewing
from wizard.archive.archive_query import ArchiveFilter


@pytest.fixture
def shop(tmp_path):
    """Nine jobs of one laptop, one of them gone since."""
    store = store_at(indexed_home(tmp_path / "home"))
    shutil.rmtree(store.home.session_folder(sorted(store.home.list_ids())[3]))
    return store


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_one_that_is_gone_is_listed_and_opens_the_one_that_names_it(shop, size):
    """The whole evidence is in sight at each size; Enter lists the session alone; c brings all back."""
    names = sorted(shop.home.list_ids())
    async with reviewing(shop, size, ArchiveFilter()) as v:
        await v.press("x")
        assert v.name == "AcrossPanel" and "Met again: 1 named and not here" in v.text
        assert "of a session that isn't here: 2026-03-02-d" in " ".join(v.text.split())
        assert "has not come from there yet." in " ".join(v.text.split())
        await v.press("enter")
        assert v.name == "ArchiveScreen" and [row.session for row in v.app.screen.view.rows] == [names[3]]
        assert f"Met again: {names[3]}" in v.text
        await v.press("c")
        assert len(v.app.screen.view.rows) == 8


async def test_where_nothing_was_met_again_that_is_said(tmp_path):
    """One session alone: Enter goes nowhere."""
    store = home_at(tmp_path / "home")
    async with reviewing(store, asked=ArchiveFilter()) as v:
        await v.press("x")
        assert v.name == "AcrossPanel" and "Nothing was met again." in v.text
        await v.press("enter", "escape")
        assert v.name == "ArchiveScreen" and len(v.app.screen.view.rows) == 1
