"""Jobs at one machine side by side: what each says is what its journal holds, and what changed is by more than is
uncertain.
"""

from dataclasses import replace

import pytest

from tests.helpers.learned_home import indexed_home
from tests.helpers.stored_sessions import store_at
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.bringing_up import bring_up
from wizard.archive.visits.machine_visit import MachineVisit, VisitReading, machine_words, plates, visits_of
from wizard.archive.visits.visit_table import changes, topics
from wizard.domain.vocabulary import Verdict
from wizard.engine.measuring.judging import Judged
from wizard.errors import UsageError

PULL = ("dampers", "pull", "damper 1")


def judged(newton, uncertainty=0.5, verdict=Verdict.PASS):
    return Judged("damper 1", newton, uncertainty, 1, verdict)


def visit(day, found=None, left=None, **more):
    readings = {PULL: VisitReading("Dampers: damper 1", "N", found, left)} if found or left else {}
    plain = MachineVisit(
        f"{day}-a", day, day, "R. Vale", "shake 1", "It bangs.", {}, {}, readings, (), {}, "Proved."
    )
    return replace(plain, **more)


@pytest.fixture
def shop(tmp_path):
    """Nine jobs at machine X1, each of which found worn dampers and repaired them."""
    store = store_at(indexed_home(tmp_path / "home"))
    with ArchiveIndex.open(store.root) as index:
        bring_up(index, store, processes=1)
        yield store, index


def test_each_job_says_what_its_journal_holds(shop):
    """Complaint, findings, readings before and after, repair, proof, in order of time."""
    store, index = shop
    ((plate, row),) = plates(index, "x1")
    jobs = visits_of(index, store, plate)
    assert [one.session for one in jobs] == sorted(store.home.list_ids()) and machine_words(row) == "X1"
    one, state = jobs[0], store.load(jobs[0].session).state
    assert one.complaint == state.complaint and one.ended == "Repaired and proved." and one.who == "R. Vale"
    assert one.faults == {"dampers-worn": "Dampers worn"} and "Dampers worn: " in one.repairs[0]
    pulls = [
        r for (inspection, step, _n), r in one.readings.items() if (inspection, step) == ("dampers", "pull")
    ]
    assert len(pulls) == 6 and all("fail" in r.text(r.found) and "pass" in r.text(r.left) for r in pulls)
    rows = {topic.says: topic.cells for topic in topics(jobs)}
    assert rows["Complaint"] == (state.complaint,) * 9 and all(
        "; then " in cell for cell in rows[pulls[0].name]
    )


def test_the_same_again_is_said_first(shop):
    """The fault, what was found, and that what was left good was found bad."""
    store, index = shop
    jobs = visits_of(index, store, plates(index, "X1")[0][0])
    said = changes(jobs[0], jobs[1])
    assert said[:2] == (
        "0 days after the last event of the job before.",
        "The same fault again: Dampers worn.",
    )
    assert any(s.startswith("Found then and now: ") for s in said)
    assert any("left at" in s and "pass, found at 18" in s and "fail: less by" in s for s in said)


@pytest.mark.parametrize(("now", "moved"), [(61.0, False), (58.2, True), (62.0, True), (60.0, False)])
def test_a_reading_moved_where_it_is_more_than_is_uncertain(now, moved):
    """60 and 61 N with 0.5 N each: the difference has 0.71 N, so 1 N is none and 1.8 N is one (GUM 5.1.2, k = 2)."""
    said = changes(visit("2026-03-02", judged(18), judged(60)), visit("2026-03-20", judged(now)))
    assert any("left at 60" in one for one in said) is moved
    assert said[0] == "18 days after the last event of the job before."


def test_what_was_not_asked_is_not_said_to_be_gone():
    """Nobody read it then, or now: no change of it. A finding that isn't there may not have been asked."""
    before = visit("2026-03-02", judged(18), findings={"bangs": "It bangs"})
    after = visit("2026-03-20", findings={"walks": "It walks"}, parts={"damper": "3 x Damper"})
    said = " ".join(changes(before, after))
    assert "left at" not in said and "The same part" not in said
    assert "Found now; then not found, or not asked: It walks." in said
    assert "Found then; now not found, or not asked: It bangs." in said
    assert "The same part again: 3 x Damper." in changes(
        replace(before, parts={"damper": "2 x Damper"}), after
    )


def test_another_flow_or_plate_is_said():
    """What is asked otherwise can't be held side by side without saying so."""
    said = changes(visit("2026-03-02", model="OS4"), visit("2026-03-20", flow="shake 2", model="OS9"))
    assert "Asked by another flow, or version of it: shake 1, then shake 2." in said
    assert "The plate was read otherwise: model OS4, then OS9." in said


def test_a_job_that_cant_be_read_is_one_of_them(shop):
    """It says so, and the others stand."""
    store, index = shop
    name = sorted(store.home.list_ids())[3]
    path = store.home.session_folder(name) / "journal.toml"
    path.write_bytes(path.read_bytes().replace(b"R. Vale", b"R. Vain", 1))
    jobs = visits_of(index, store, plates(index, "X1")[0][0])
    assert len(jobs) == 9 and jobs[3].trouble and jobs[3].ended == "can't be read"
    assert any("can't be read whole" in one for one in changes(jobs[2], jobs[3]))
    assert {topic.says: topic.cells for topic in topics(jobs)}["Proved"][3] == jobs[3].trouble


def test_a_machine_is_found_by_its_number_or_a_session(shop):
    """What nobody has is said."""
    store, index = shop
    name = sorted(store.home.list_ids())[0]
    assert plates(index, name)[0][0] == plates(index, "X")[0][0]
    with pytest.raises(UsageError, match="No machine has a serial number"):
        plates(index, "4471")
