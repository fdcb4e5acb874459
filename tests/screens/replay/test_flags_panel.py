"""Flags called fair or not by a reviewer in the replay: beside the record, which stays as it is."""

import pytest

from tests.screens.replay.test_replay_screen import home, viewing  # noqa: F401
from wizard.journal import durable_io, row_file
from wizard.sessions import judged_flags
from wizard.sessions.session_verification import verified
from wizard.sessions.transfer import export


@pytest.fixture
def jobs(home):  # noqa: F811
    """A store with one session, and its name."""
    return home


async def test_a_flag_is_called_fair_or_not_and_the_last_word_stands(jobs, tmp_path_factory):
    """The name is asked once; the row says it; the journal, its verification and its zip are as they were."""
    store, name = jobs
    folder = store.home.session_folder(name)
    journal = (folder / "journal.toml").read_bytes()
    async with viewing(jobs) as v:
        await v.press("f")
        assert "y fair" in v.text and "x not fair" in v.text
        flags = [row.flag for row in v.app.screen.rows]
        await v.press("y", *"marsh", "enter")
        assert "Called fair, beside the record." in v.text and "marsh called it fair." in v.text
        await v.press("down", "x")
        assert "Called not fair" in v.text and "not fair" in v.text.splitlines()[4]
        await v.press("up", "x")
        rows = judged_flags.load(folder)
        assert [(r.by, r.rule, r.event, r.fair) for r in rows] == [
            ("marsh", flags[0].rule, flags[0].seq, True),
            ("marsh", flags[1].rule, flags[1].seq, False),
            ("marsh", flags[0].rule, flags[0].seq, False),
        ]
        assert [r.measure for r in rows] == [flags[0].measure, flags[1].measure, flags[0].measure]
        await v.press("enter")
        assert v.place > 0
    assert (folder / "journal.toml").read_bytes() == journal and verified(store, name).chain.ok
    path = export(store, name, tmp_path_factory.mktemp("sent"))
    assert b"session/judged-flags.toml" in path.read_bytes()
    async with viewing(jobs) as v:
        await v.press("f")
        assert v.text.count("not fair") >= 2


async def test_what_cant_be_written_is_said(jobs, monkeypatch):
    """The list stays, and no word stands."""

    def full(*_args):
        raise OSError(28, "No space left on device")

    async with viewing(jobs) as v:
        await v.press("f")
        monkeypatch.setattr(durable_io, "put", full)
        monkeypatch.setattr(row_file, "put", full)
        await v.press("y", *"marsh", "enter")
        assert "the disk is full" in v.text and not v.app.session.judged


async def test_a_flag_that_is_raised_says_what_was_held_against_its_number(jobs):
    """A quick step by its share of the usual minutes, under the threshold of .30."""
    async with viewing(jobs) as v:
        quick = [f for f in v.screen.cursor.flags if f.rule == "step-quick"]
        assert quick and all(f.measure is not None and 0 <= f.measure < 0.3 for f in quick)


async def test_many_of_one_rule_are_one_row_until_it_is_opened(jobs):
    """The gravest first; no key judges the folded row; Enter opens it, and then goes to a flag's place."""
    async with viewing(jobs) as v:
        flags = v.screen.cursor.flags
        quick = [f for f in flags if f.rule == "step-quick"]
        v.screen.cursor.flags = (*flags, *(quick * 4))
        await v.press("f")
        panel = v.app.screen
        ranks = ["high", "middle", "low"]
        assert [ranks.index(row.entry.row.split()[0]) for row in panel.rows] == sorted(
            ranks.index(row.entry.row.split()[0]) for row in panel.rows
        )
        folded = next(n for n, row in enumerate(panel.rows) if row.flag is None)
        assert (
            panel.rows[folded].entry.row.startswith("low    habit")
            and " times; first:" in panel.rows[folded].entry.row
        )
        await v.press(*["down"] * folded, "y")
        assert "Enter opens these" in v.text and not v.app.session.judged
        await v.press("enter")
        assert v.app.screen is panel and all(row.flag is not None for row in panel.rows)
        await v.press("enter")
        assert v.place == v.app.session.replay.place_of(quick[0].seq)
