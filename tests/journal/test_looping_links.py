"""A link that leads round and round, or nowhere, hides nothing that lies beside it."""

import os

import pytest

from tests.helpers.stored_sessions import SESSION, home_at
from wizard.errors import SteadfootError, UsageError
from wizard.screens.viewmodels.photo_files import newest
from wizard.screens.viewmodels.reading.recording_lines import completed
from wizard.screens.viewmodels.reading.recording_lines import newest as recordings

pytestmark = pytest.mark.skipif(os.name == "nt", reason="links are made by administrators alone there")


def looped(path):
    """A link to itself."""
    path.symlink_to(path)
    return path


def test_a_looping_link_among_the_sessions_hides_none(tmp_path):
    store = home_at(tmp_path)
    looped(store.home.sessions / "2026-03-02-b-k7m3qd")
    (store.home.sessions / "2026-03-02-c-k7m3qd").symlink_to(tmp_path / "gone")
    assert store.home.list_ids() == (SESSION,)
    with pytest.raises(UsageError, match="There is no session"):
        store.home.session_folder("2026-03-02-b-k7m3qd")


@pytest.mark.parametrize("name", ["review.toml", "HANDOVER-7.md", "attachments/x.jpg"])
def test_a_looping_link_in_a_session_is_said_in_words(tmp_path, name):
    """And the others are listed."""
    store = home_at(tmp_path)
    folder = store.home.session_folder(SESSION)
    (folder / name).unlink(missing_ok=True)
    looped(folder / name)
    assert store.home.list_ids() == (SESSION,)
    try:
        store.load(SESSION)
    except SteadfootError as problem:
        assert "leads round and round" in str(problem)


def test_looping_links_hide_no_photo_and_no_recording(tmp_path):
    looped(tmp_path / "a.jpg")
    looped(tmp_path / "spin.csv")
    (tmp_path / "b.jpg").write_bytes(b"x")
    (tmp_path / "spin-2.csv").write_bytes(b"x")
    assert [p.path.name for p in newest(tmp_path)] == ["b.jpg"]
    assert [f.path.name for f in recordings([tmp_path], named=True, suffixes=frozenset({".csv"}))] == [
        "spin-2.csv"
    ]
    assert completed(str(tmp_path / "b"), frozenset({".jpg"})) == (str(tmp_path / "b.jpg"), 1)
