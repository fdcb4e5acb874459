"""The reviewer's screen by keys: the queue with its reasons, search, filters, a session gone through again."""

import contextlib
from contextlib import asynccontextmanager
from dataclasses import replace

import pytest
from textual.worker import WorkerCancelled

from tests.cli.test_archive_command import ROW
from tests.helpers.learned_home import indexed_home
from tests.helpers.stage import SIZES, screen_text
from tests.helpers.stored_sessions import store_at
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder
from wizard.screens.archive.archive_app import ArchiveApp
from wizard.screens.archive.archive_lines import heads_line, row_lines
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.widgets.entry.picklist import PickList

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


class Reviewing:
    def __init__(self, app, pilot):
        self.app, self.pilot = app, pilot

    async def press(self, *keys):
        for key in keys:
            self.app.clock.move(1.0)
            await self.pilot.press(key)
            await self.settle()

    async def type(self, text):
        names = {" ": "space", "-": "minus", ".": "full_stop"}
        await self.pilot.press(*(names.get(c, c) for c in text), "enter")
        await self.settle()

    async def settle(self):
        for _ in range(4):
            await self.pilot.pause()
            # A search that another one takes the place of is cancelled: that is no failure.
            with contextlib.suppress(WorkerCancelled):
                await self.app.workers.wait_for_complete()
        await self.pilot.pause()

    @property
    def text(self):
        return screen_text(self.app)

    @property
    def name(self):
        return type(self.app.screen).__name__

    @property
    def shown(self):
        return [row.session for row in self.app.screen.view.rows]


@pytest.fixture
def store(tmp_path):
    """Nine proved jobs; one of them altered in its middle."""
    store = store_at(indexed_home(tmp_path / "home"))
    path = store.home.session_folder("2026-03-02-d") / "journal.toml"
    path.write_bytes(path.read_bytes().replace(b"R. Vale", b"R. Vain", 1))
    return store


@asynccontextmanager
async def reviewing(store, size=(80, 24), asked=None):
    with ArchiveIndex.open(store.root) as index:
        app = ArchiveApp(store, index, asked)
        async with app.run_test(size=size) as pilot:
            view = Reviewing(app, pilot)
            await view.settle()
            yield view


@both
async def test_the_queue_says_risk_record_and_why(store, size):
    """What can't be read first, then by risk; the marked one's facts under the list; all within the window."""
    async with reviewing(store, size) as v:
        lines = v.text.splitlines()
        assert "Archive  9 sessions, worth reading first" in lines[0] and "Sign-off: to-read" in lines[1]
        assert (
            "200  2026-03-02-d" in v.text.replace("▸", " ").replace("  200", "200")
            or "2026-03-02-d" in lines[4]
        )
        assert v.shown[0] == "2026-03-02-d" and "UNREADABLE" in lines[4] and "can't be read" in lines[4]
        assert "It can't be read:" in v.text and "Not signed off." in v.text
        await v.press("down")
        assert (
            "Complaint: It bangs when it starts to spin." in v.text and "Verified. Not signed off." in v.text
        )
        assert "Repaired and proved:" in v.text
        assert ("Dampers worn" in v.text.splitlines()[5]) == (size[0] >= 110)
        assert "Enter read it" in v.text and "F12 leave" in v.text


async def test_words_narrow_the_list_and_nothing_takes_them_away(store):
    """Typed into a field; what finds nothing says 0."""
    async with reviewing(store) as v:
        await v.press("slash")
        await v.type("bangs vale")
        assert len(v.shown) == 8 and "Words: bangs vale" in v.text
        await v.press("slash")
        for _ in range(10):
            await v.pilot.press("backspace")
        await v.type("nothing such")
        assert v.shown == [] and "0 sessions" in v.text and "Enter read it" not in v.text
        await v.press("enter")
        assert v.name == "ArchiveScreen"
        await v.press("c")
        assert len(v.shown) == 9 and "All sessions" in v.text


async def test_a_filter_is_picked_from_what_there_is(store):
    """With how many have it; a day is typed, and what is none is said."""
    async with reviewing(store) as v:
        await v.press("f", "down", "down", "down", "enter")
        assert "Fault" in v.text and "dampers-worn" in v.text
        await v.press("down", "enter")
        assert len(v.shown) == 8 and "Fault: dampers-worn" in v.text
        await v.press("f", *["down"] * 6, "enter")
        await v.type("soon")
        assert "Write 2026-11-25" in v.text
        for _ in range(4):
            await v.pilot.press("backspace")
        await v.type("2026-04")
        assert v.shown == [] and "From a day on: 2026-04" in v.text
        await v.press("f", "escape")
        assert v.name == "ArchiveScreen"


async def test_the_order_is_turned(store):
    """The newest first, and back; the mark begins at the first."""
    async with reviewing(store) as v:
        await v.press("down", "down", "o")
        assert v.app.screen.view.asked.order is ArchiveOrder.NEWEST and v.shown[0] == "2026-03-02-i"
        assert v.app.screen.query_one(PickList).index == 0 and "newest first" in v.text
        await v.press("o")
        assert v.shown[0] == "2026-03-02-d"


async def test_enter_goes_through_it_again_and_a_sign_off_takes_it_off_the_list(store):
    """Replay over the list; Esc comes back; what was signed is no longer among the unsigned."""
    async with reviewing(store) as v:
        await v.press("down", "enter")
        session = v.shown[1] if v.name == "ArchiveScreen" else v.app.screen.session.name
        assert v.name == "ReviewScreen" and f"Session {session}" in v.text and "Esc back" in v.text
        await v.press("right", "s")
        await v.type("C. Marsh")
        await v.press("1")
        await v.type("Looked through.")
        await v.press("escape")
        assert v.name == "ArchiveScreen" and session not in v.shown and len(v.shown) == 8
        await v.press("c")
        assert "signed" in v.text
        signed = next(row for row in v.app.screen.view.rows if row.session == session)
        assert (signed.signed_by, signed.risk, signed.reasons) == ("C. Marsh", 0, ())


async def test_what_is_damaged_is_gone_through_and_says_what_is_missing(store):
    """The event whose seal doesn't fit is left out, and the line it stood in is named."""
    async with reviewing(store) as v:
        await v.press("enter")
        assert v.name == "ReviewScreen" and "fit no seal and are left out, before" in " ".join(v.text.split())
        await v.press("escape")
        assert v.name == "ArchiveScreen"


async def test_what_cannot_be_read_says_so_and_goes_on(store):
    """A journal of which nothing is left: its own words; the list stays."""
    (store.home.session_folder("2026-03-02-d") / "journal.toml").write_bytes(b"x" * 2_000)
    async with reviewing(store) as v:
        await v.press("enter")
        assert v.name == "MessagePanel" and "journal.toml" in "".join(v.text.split())
        await v.press("escape")
        assert v.name == "ArchiveScreen"


async def test_the_command_line_says_what_it_begins_with(store):
    """Filters that were given stand there."""
    async with reviewing(store, asked=ArchiveFilter(technician="vale", words="bangs")) as v:
        assert "Words: bangs" in v.text and "Technician: vale" in v.text and len(v.shown) == 8


async def test_it_is_reached_from_home_and_left_again(store):
    """By a; Esc goes home."""
    app = SteadfootApp(store, dict)
    async with app.run_test(size=(80, 24)) as pilot:
        v = Reviewing(app, pilot)
        await v.settle()
        assert "a archive" in v.text
        await v.press("a")
        assert v.name == "ArchiveScreen" and len(v.shown) == 9
        await v.press("question_mark")
        assert "Risk is a sum of points" in " ".join(v.text.split())
        await v.press("escape", "escape")
        assert v.name == "HomeScreen"


async def test_text_of_a_record_is_harmless(store):
    """A complaint with an escape in it is written as its code."""
    from tests.archive.test_archive_query import facts

    with ArchiveIndex.open(store.root) as index:
        index.put([("m", facts("x", complaint="It \x1b[2J bangs", technician="\u202eVale", maker="O\x9b"))])
        app = ArchiveApp(store, index)
        async with app.run_test(size=(120, 36)) as pilot:
            v = Reviewing(app, pilot)
            app.screen.work.bring_up = lambda: None
            await v.settle()
            assert "\x1b" not in v.text and "\u202e" not in v.text and "\x9b" not in v.text


def test_a_fault_is_named_whole_in_its_column():
    """On several lines under its head where it must be; no other line is longer than the window."""
    faults = "Spider cracked, corroded; Suspension rods worn, or one off its seat"
    found = row_lines([replace(ROW, faults=faults)] * 2, 200)
    for one in found:
        lines = one.plain.split("\n")
        at = heads_line([ROW], 200).plain.index("fault") - 2  # The mark of the list has two columns.
        assert " ".join(" ".join(line[at : at + 22] for line in lines).split()) == faults
        assert max(map(len, lines)) <= 198 and not any(line[:at].strip() for line in lines[1:])
