"""Handover, closing and coming back, by keys, at both sizes."""

import hashlib

import pytest

from tests.helpers.stage import SIZES, stage
from wizard.documents.files import paper_files
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.repair_parts import PartFitted
from wizard.journal.journal_reader import read
from wizard.journal.journal_verification import verify
from wizard.journal.sealed_block import grouped

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def proved(job):
    job.until(NextKind.REPAIR)
    job.fit("dampers-worn")
    job.until(NextKind.CLOSE)


def ordered(job):
    job.until(NextKind.REPAIR)
    job.do(
        c.RecordRepair(
            "dampers-worn",
            RepairOutcome.ON_ORDER,
            (PartFitted("damper", 3),),
            note="friday",
            reason="Oil under them.",
        )
    )
    job.until(NextKind.CLOSE)


def paper(on, name):
    return on.job.opened.folder / name


async def test_summary_is_read_on_screen_and_moved(tmp_path, size):
    """What the customer gets, without its Markdown; Down reads on."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter")
        assert on.name == "HandoverScreen"
        assert "What you told us" in on.text and "##" not in on.text and "\\" not in on.text
        before = on.text
        await on.press(*["down"] * 8)
        assert on.text != before


async def test_a_digit_that_does_nothing_is_said(tmp_path, size):
    """1 writes, 2 closes."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter", "3")
        assert "There is no 3 here: press 1 or 2." in on.text and not on.job.state.handover[0]


async def test_more_below_is_said_until_the_end(tmp_path, size):
    """'▼ more' stands under the summary until its last line is in sight, also when the window shrinks."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter")
        assert "▼ more: read on with Down" in on.text
        await on.press("end")
        assert "▼ more" not in on.text
        await on.pilot.resize_terminal(120, 36)
        await on.press("end")
        assert "▼ more" not in on.text
        await on.pilot.resize_terminal(80, 24)
        await on.settle()
        assert "▼ more: read on with Down" in on.text


async def test_papers_are_written_and_their_hash_recorded(tmp_path, size):
    """1 writes summary and record; the journal has the SHA-256 of each, the summary's without the seal's line."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter", "1")
        assert "Written: HANDOVER.md" in on.text
        name, sha256 = on.job.state.handover
        written = paper(on, name).read_bytes()
        assert hashlib.sha256(written[: written.rstrip().rindex(b"\n") + 1]).hexdigest() == sha256
        event = read(on.job.opened.folder / "journal.toml").events[-1]
        assert event["beside"] == {
            "RECORD.md": hashlib.sha256(paper(on, "RECORD.md").read_bytes()).hexdigest()
        }
        assert sha256 in paper(on, "RECORD.md").read_text(encoding="utf-8")
        assert "The parts that calm the drum are worn out." in paper(on, name).read_text(encoding="utf-8")
        assert paper(on, "RECORD.md").is_file() and not paper(on, "PARTS.md").exists()


async def test_closing_takes_a_typed_word(tmp_path, size):
    """Another word does nothing; CLOSE closes, the papers written first."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter", "2")
        await on.type("yes")
        assert on.job.state.job == "working"
        await on.press(*["backspace"] * 3)
        await on.type("close")
        assert on.job.state.job == "closed" and on.job.state.outcome == "proved"
        assert paper(on, "HANDOVER.md").is_file()
        assert on.name == "ClosedScreen"


async def test_closed_screen_shows_the_seal_and_the_papers(tmp_path, size):
    """The last chain value in groups of four is the journal's own, and the journal verifies."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter", "2")
        await on.type("close")
        seal = grouped(read(on.job.opened.folder / "journal.toml").last_chain)
        assert seal in on.text
        assert (
            paper(on, "HANDOVER.md").read_text(encoding="utf-8").endswith(f"Seal of the record: `{seal}`\n")
        )
        assert "HANDOVER.md, RECORD.md" in on.text
        assert "repaired and proved" in on.text
        assert verify(on.job.opened.folder / "journal.toml").ok


async def test_seal_stays_that_of_the_closing_after_a_note(tmp_path, size):
    """A note on the closed job adds an event; screen and paper go on saying what the customer's copy says."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter", "2")
        await on.type("close")
        seal = grouped(on.job.opened.seal)
        on.job.do(c.AddNote("The customer called."))
        await on.show()
        assert on.job.opened.journal.chain[:4] != seal[:4]
        assert seal in on.text and seal in paper(on, "HANDOVER.md").read_text(encoding="utf-8")


async def test_paper_gets_its_seal_when_the_closed_job_is_opened(tmp_path, size):
    """The program ended between closing and sealing: opening the job again makes up for it."""

    def closed(job):
        proved(job)
        done = paper_files.write(job.opened.folder, job.view)
        job.do(c.RecordHandover(done.handover.name, done.sha256, done.beside))
        job.do(c.Close())
        assert b"____" in done.handover.read_bytes()

    async with stage(tmp_path, size, prepare=closed) as on:
        assert on.name == "ClosedScreen"
        assert grouped(on.job.opened.journal.chain) in paper(on, "HANDOVER.md").read_text(encoding="utf-8")


async def test_paper_that_was_altered_gets_no_seal(tmp_path, size):
    """Nothing is sealed that is not what was handed over."""

    def closed(job):
        proved(job)
        done = paper_files.write(job.opened.folder, job.view)
        job.do(c.RecordHandover(done.handover.name, done.sha256, done.beside))
        job.do(c.Close())
        done.handover.write_bytes(b"And more.\n" + done.handover.read_bytes())

    async with stage(tmp_path, size, prepare=closed) as on:
        assert b"____" in paper(on, "HANDOVER.md").read_bytes()


async def test_not_everything_done_is_said_and_closing_refused(tmp_path, size):
    """The handover may be read early; closing says what is missing."""
    async with stage(tmp_path, size) as on:
        from wizard.screens.layout.navigation import MapPlace
        from wizard.screens.layout.scene_kind import SceneKind

        on.app.host.go(MapPlace(SceneKind.HANDOVER))
        await on.settle()
        on.clock.move(1)
        assert "Not yet:" in on.text
        await on.press("2")
        assert on.job.state.job == "working" and on.name == "HandoverScreen"


async def test_parts_list_is_written_for_an_order(tmp_path, size):
    """With parts on order, the list lies in the folder with the other papers."""
    async with stage(tmp_path, size, prepare=ordered) as on:
        await on.press("enter", "1")
        assert "PARTS.md" in on.text
        assert "| 3 | Damper | damper |" in paper(on, "PARTS.md").read_text(encoding="utf-8")


async def test_second_visit_takes_the_job_up_and_believes_nothing(tmp_path, size):
    """v, who comes, the ticket: a new visit, nothing known of the machine, the repair next, papers of its own."""
    async with stage(tmp_path, size, prepare=ordered) as on:
        await on.press("enter", "2")
        await on.type("close")
        await on.press("v", "enter")
        await on.type("T2")
        state = on.job.state
        assert (state.job, len(state.visits), state.visit.ticket) == ("working", 2, "T2")
        assert state.visit.technician == "R. Vale"
        assert "SUPPLY NOT KNOWN" in on.text and "▸ o Fit a new set of dampers" in on.text
        await on.press("enter")
        assert "First: gas, plug and outlet, cabinet" in on.text


async def test_disk_that_refuses_is_said_and_nothing_is_closed(tmp_path, size):
    """The folder can't take the paper: one sentence, the job stays open."""
    async with stage(tmp_path, size, prepare=proved) as on:
        paper(on, "RECORD.md").mkdir()
        await on.press("enter", "2")
        assert "can't be written" in " ".join(on.text.split())  # The folder's name may push it over a line.
        assert on.job.state.job == "working" and on.name == "HandoverScreen"


async def test_a_hazard_that_was_declined_is_on_the_closed_screen(tmp_path, size):
    """Transit bolts declined: the machine must not be used, said on the last screen too."""

    def declined(job):
        job.through("quick", "yes")
        job.do(c.Confirm(("transit-in",)))
        job.do(c.RecordRepair("transit-in", RepairOutcome.DECLINED, (), "told"))
        job.until(NextKind.CLOSE)

    async with stage(tmp_path, size, prepare=declined) as on:
        await on.press("enter")
        assert "WARNING. Do not use this machine." in on.text
        await on.press("2")
        await on.type("close")
        assert "must not be used" in on.text and "Transit bolts" in on.text


async def test_stopped_job_is_handed_over_too(tmp_path, size):
    """Closing a stopped job writes the summary, which warns and says whom to call."""

    def stopped(job):
        job.do(c.StopWork("scorched", "scorched"))
        for line in range(len(job.flow.stops["scorched"].make_safe)):
            job.do(c.MakeSafe("scorched", line))

    async with stage(tmp_path, size, prepare=stopped) as on:
        await on.press("c")
        await on.type("close")
        assert on.job.state.job == "closed" and on.job.state.outcome == "stopped"
        text = paper(on, "HANDOVER.md").read_text(encoding="utf-8")
        assert "WARNING. Do not use this machine." in text and on.job.flow.stops["scorched"].call in text


@pytest.mark.parametrize("key", ["h", "escape"])
async def test_from_a_closed_job_one_key_leads_home(tmp_path, size, key):
    """No word of power on a closed job; h or Esc goes to the list, and the job can be taken up from there."""
    async with stage(tmp_path, size, prepare=proved) as on:
        await on.press("enter", "2")
        await on.type("close")
        assert "POWER" not in on.text and "SUPPLY" not in on.text and "h home" in on.text
        await on.press(key)
        assert on.name == "HomeScreen" and on.app.host.has_job is False
        assert "▸ 2026-03-02-a" in on.text and "repaired and proved" in on.text
        await on.press("enter")
        await on.settle()
        assert on.name == "ClosedScreen"
