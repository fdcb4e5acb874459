"""What a home holds is for its user's eyes alone, whatever the umask; nothing leads out of it."""

import os
import shutil
import stat
import sys
from datetime import UTC, datetime

import pytest

from tests.helpers.jobs import GOOD, good
from tests.helpers.stored_sessions import SESSION, home_at, import_, store_at
from wizard.errors import SteadfootError
from wizard.flowcheck.approval.approving import approve
from wizard.journal.durable_io import make_folder, put, write_new
from wizard.platform import crash_log
from wizard.sessions import sign_off
from wizard.sessions.import_memory import NAME, ImportMemory
from wizard.sessions.transfer import export

pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="Windows takes the rights of the user's own folder"
)


@pytest.fixture(params=[0o000, 0o022, 0o277], ids=["open", "usual", "odd"])
def umask(request):
    before = os.umask(request.param)
    yield request.param
    os.umask(before)


def modes(root):
    """Each file's and folder's rights below a folder, by its name."""
    found = {p.relative_to(root).as_posix(): stat.S_IMODE(p.lstat().st_mode) for p in root.rglob("*")}
    return {n: oct(m) for n, m in found.items()}


def test_all_of_a_session_is_private(tmp_path, umask):
    """Journal, lock, photo, papers, review, kept flow, the zip of it, and the log."""
    store = store_at(tmp_path / "there")
    sent = export(home_at(tmp_path / "here"), SESSION, tmp_path / "out" / "sent.zip")
    import_(store, sent)
    folder = store.home.session_folder(SESSION)
    sign_off.add_note(folder, sign_off.ReviewNote("A. Reed", "", "Looked at."))
    with store.resume(SESSION) as opened:
        (tmp_path / "x.jpg").write_bytes(b"x")
        (tmp_path / "x.jpg").chmod(0o600)
        opened.attach(tmp_path / "x.jpg", "")
    crash_log.keep(store.root, ValueError("x"))
    put(store.root / "checked.json", b"{}")
    found = modes(store.root)
    assert len(found) > 20 and {
        f"sessions/{SESSION}/{n}" for n in ("journal.toml", "review.toml", "journal.lock")
    } < {*found}
    assert set(found.values()) == {"0o700", "0o600"}
    assert all((m == "0o700") == (store.root / n).is_dir() for n, m in found.items())
    assert stat.S_IMODE(store.root.stat().st_mode) == 0o700
    assert stat.S_IMODE(sent.stat().st_mode) == 0o600


def test_a_new_session_is_private(tmp_path, umask):
    """Begun here."""
    from tests.helpers.jobs import good
    from tests.helpers.stored_sessions import flow_files

    store = store_at(tmp_path / "home")
    store.begin(good(), flow_files(), "R. Vale").close()
    assert set(modes(store.root).values()) == {"0o700", "0o600"}


def test_a_folder_that_is_there_is_left_as_it_is(tmp_path):
    """Somebody made it so."""
    (tmp_path / "shared").mkdir(mode=0o755)
    (tmp_path / "shared").chmod(0o755)
    make_folder(tmp_path / "shared" / "a" / "b")
    write_new(tmp_path / "shared" / "a" / "b" / "x", b"")
    assert stat.S_IMODE((tmp_path / "shared").stat().st_mode) == 0o755
    assert modes(tmp_path / "shared") == {"a": "0o700", "a/b": "0o700", "a/b/x": "0o600"}


def test_the_shop_s_own_flows_are_private(tmp_path, umask):
    """A new one, what an editor is given, a kept case's folder, who approved it: nobody else may read or write them."""
    from wizard.cli.main import main

    flows = tmp_path / "home" / "flows"
    wanted = ("--title", "X", "--complaint", "Y.", "--kind", "a=A")
    assert main(["--home", str(tmp_path / "home"), "flow", "new", str(flows / "x"), *wanted]) == 0
    assert main(["flow", "schema", "flow", "--out", str(flows)]) == 0
    approve(flows / "x", good(), "R. Vale", "Read.", (), datetime(2026, 3, 2, tzinfo=UTC))
    found = modes(tmp_path / "home")
    assert {"flows/x/flow.toml", "flows/x.approved.toml", "flows/schema/flow.schema.json"} < {*found}
    assert {
        n: m for n, m in found.items() if m != ("0o700" if (tmp_path / "home" / n).is_dir() else "0o600")
    } == {}


def test_an_approval_is_written_by_its_owner_alone(tmp_path, umask):
    """Though all may read, and write, the flow that it is of."""
    shutil.copytree(GOOD, tmp_path / "x")
    (tmp_path / "x" / "flow.toml").chmod(0o666)
    path = approve(tmp_path / "x", good(), "R. Vale", "Read.", (), datetime(2026, 3, 2, tzinfo=UTC))
    assert stat.S_IMODE(path.stat().st_mode) == 0o644


def test_a_zip_s_new_folders_are_private(tmp_path, umask):
    sent = export(home_at(tmp_path / "here"), SESSION, tmp_path / "out" / "below" / "sent.zip")
    assert {stat.S_IMODE(p.stat().st_mode) for p in (sent.parent, sent.parent.parent)} == {0o700}


LINKS = (
    "sessions", "SESSION", "SESSION/journal.toml", "SESSION/attachments", "SESSION/journal.lock", "SESSION/review.toml",
    "SESSION/judged-flags.toml", "SESSION/signature.toml", "SESSION/customer.toml", "SESSION/HANDOVER.md", "kept",
    "KEPT",
)  # fmt: skip


@pytest.mark.parametrize("link", LINKS)
def test_a_link_that_leads_out_of_the_home_is_not_followed(tmp_path, link):
    """Neither to read nor to write, whatever it stands for: it is said, and nothing there changes."""
    store = home_at(tmp_path / "home")
    (kept,) = (store.root / "kept").iterdir()
    name = link.replace("SESSION", f"sessions/{SESSION}").replace("KEPT", f"kept/{kept.name}")
    inside, outside = store.root / name, tmp_path / "outside"
    if inside.exists():
        inside.rename(outside)
    else:
        outside.write_bytes(b"mine")
    inside.symlink_to(outside)
    there = (outside, *outside.rglob("*"))
    before = {p: p.stat().st_mtime_ns for p in there}
    for act in (store.load, store.resume):
        with pytest.raises(SteadfootError, match="a link that leads out of it"):
            act(SESSION)
    assert {p: p.stat().st_mtime_ns for p in (outside, *outside.rglob("*"))} == before


def test_a_home_that_is_a_link_itself_is_taken(tmp_path):
    """A home may lie on another disk."""
    home_at(tmp_path / "real")
    (tmp_path / "home").symlink_to(tmp_path / "real")
    assert store_at(tmp_path / "home").load(SESSION).state.seq


def test_nobody_is_waited_for_at_a_pipe(tmp_path):
    """A log, and what was imported, that are pipes, without a reader and with one: said, or left out; nothing hangs."""
    for name in (crash_log.NAME, NAME):
        os.mkfifo(tmp_path / name)
    memory = ImportMemory(tmp_path / NAME)
    for reader in (False, True):
        opened = [
            os.open(tmp_path / n, os.O_RDONLY | os.O_NONBLOCK) for n in (crash_log.NAME, NAME) if reader
        ]
        assert "could not be written" in crash_log.keep(tmp_path, ValueError("x"))
        memory.add("0" * 64, SESSION)
        assert memory.load() == {} and [os.read(one, 10) for one in opened] == [b""] * len(opened)
