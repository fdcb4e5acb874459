"""A recording in what a session says afterwards: the picture without the file, the seals, the parcel."""

from __future__ import annotations

import sys
from dataclasses import replace
from hashlib import sha256

import pytest

from tests.helpers.decay_records import made, with_recording
from tests.helpers.jobs import HandClock, usual
from tests.helpers.made_recordings import csv, phone
from tests.helpers.stored_sessions import SESSION, import_, store_at
from wizard.documents.charts.recorded_decay import fit_of, recorded_decay
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.audit import audit
from wizard.engine.handlers.transaction import Rules
from wizard.engine.messages import commands as c
from wizard.engine.messages.decay_record import decay_fit, settles_as
from wizard.engine.messages.events import to_dict
from wizard.engine.queries import next_queries
from wizard.errors import JournalError
from wizard.flow.model import reading_of
from wizard.measure.vibration import decay_detection, recording_file
from wizard.review.replay import Replay
from wizard.sessions.session_verification import verified
from wizard.sessions.transfer import export

CSV = b"t (s),z (m/s2)\n0.00,9.8\n"


@pytest.fixture
def here(tmp_path):
    """A home with a session whose dampers step was recorded."""
    return recorded_job(tmp_path, CSV, made())


def recorded_job(tmp_path, data, found):
    """A home with that session: the bytes of the recording, and what was fitted to it."""
    flow, files = with_recording()
    tmp_path.mkdir(exist_ok=True)
    store = store_at(tmp_path / "here")
    clock = HandClock()
    with store.begin(flow, files, "R. Vale", "T-1") as opened:

        def do(command):
            clock.move(5)
            opened.session.do(command)

        do(c.GiveAnswer(opened.session.state.run.id, "danger", ("clear",)))
        wanted = {"kind": "front-loader", "dampers": "3", "stacked": "no", "serial": "X1"}
        while open_facts := next_queries.open_facts(opened.session.view):
            do(c.SetFact(open_facts[0], wanted[open_facts[0]]))
        do(c.SetComplaint("It bangs."))
        do(c.OpenInspection("dampers"))
        while (run := opened.session.state.run).at != "recorded":
            step = flow.inspections[run.inspection].step(run.at)
            do(answer(run, step))
        source = tmp_path / "tub.csv"
        source.write_bytes(data)
        taken = c.TakeRecording(run.id, "recorded", found, "tub.csv")
        do(opened.keep_recording(source, sha256(data).hexdigest(), taken))
        do(c.Judge(run.id, "recorded"))
        source.unlink()
    return store


def answer(run, step):
    """The usual one."""
    if reading_of(step):
        raise AssertionError("No step is measured before it.")
    return c.GiveAnswer(run.id, step.id, usual(step))


def attached(store):
    """The kept file."""
    (path,) = (store.home.sessions / SESSION / "attachments").iterdir()
    return path


def test_the_record_and_the_handover_draw_it_in_ascii_without_the_file(here):
    """Neither the file nor a fit is needed: scipy is not even imported."""
    attached(here).unlink()
    loaded = here.load(SESSION)
    before = "scipy.optimize" in sys.modules
    record = MARKDOWN.write(technician_record(loaded.view)).decode()
    handover = MARKDOWN.write(customer_handover(loaded.view)).decode()
    assert before or "scipy.optimize" not in sys.modules
    for said in (record, handover):
        drawn = said[said.index("```text") :]
        assert "Fluid damping and dry friction: 2.7000 +- 0.0020 Hz, damping ratio 0.0400 +- 0.0020." in drawn
        assert "swings past rest 5 times" in drawn and drawn[: drawn.index("Hz")].isascii()
    assert "0.127" in record


def test_the_picture_is_the_same_from_a_journal_as_from_the_fit(here):
    """The event holds all that is drawn."""
    (kept,) = here.load(SESSION).state.recordings
    assert kept.found == made() and recorded_decay(kept.found, plain=True) == recorded_decay(
        made(), plain=True
    )
    assert fit_of(made()).frequency == 2.7
    rows = recorded_decay(made(), 40, 8, plain=True).rows
    assert all(line.isascii() and len(line) <= 56 for line in rows[:9]) and any(
        "o" in line for line in rows[:8]
    )


def test_a_replay_shows_it_at_its_event(here):
    """Event by event, the file gone."""
    attached(here).unlink()
    loaded = here.load(SESSION)
    replay = Replay(loaded.flow, loaded.records)
    kinds = [to_dict(r)["kind"] for r in loaded.records]
    place = kinds.index("recording") + 1
    assert "Recording" in replay.frame(place).says and "tub.csv" in replay.frame(place).says
    assert replay.state(place).recordings[0].found == made()
    assert audit(Rules.of(loaded.flow), loaded.records) == ()


def test_verify_names_a_file_that_was_altered(here):
    """As for a photo."""
    found = verified(here, SESSION)
    (check,) = found.attachments
    assert "can be computed from its file" in check.trouble  # What it says was made without this file.
    attached(here).write_bytes(CSV + b"0.01,9.9\n")
    assert "it was altered" in verified(here, SESSION).attachments[0].trouble
    with pytest.raises(JournalError, match="it was altered"):
        export(here, SESSION, here.home.root)


def test_export_and_import_carry_it(here, tmp_path):
    """The file, and the state with its points."""
    away = store_at(tmp_path / "away")
    import_(away, export(here, SESSION, tmp_path))
    assert attached(away).read_bytes() == CSV
    assert away.load(SESSION).state == here.load(SESSION).state


def test_figures_altered_with_all_that_rests_on_them_are_named(tmp_path):
    """A tub that swung on: in command, figures, reading and verdict alike it settles at once, as if so taken.

    Chain and rules find nothing; the file that is kept does.
    """
    data = csv(*phone()).encode()
    source = tmp_path / "phone.csv"
    source.write_bytes(data)
    recording = recording_file.load(source)
    stretch = decay_detection.find(recording, 2)
    found = decay_fit(recording, 2, decay_detection.decay_report(recording, 2, stretch))
    assert verified(recorded_job(tmp_path / "true", data, found), SESSION).ok
    better = replace(found, damping_ratio=0.4, friction_offset=0.0)
    better = replace(better, settles=float(f"{settles_as(better):.7g}"))
    forged = verified(recorded_job(tmp_path / "forged", data, better), SESSION)
    assert forged.chain.ok and not forged.read and forged.breaches == () and not forged.ok
    assert (
        "its damping ratio doesn't follow from its file: 0.4 in the journal" in forged.attachments[0].trouble
    )


def test_a_session_of_an_earlier_version_opens_and_says_what_it_cannot_check(tmp_path):
    """Its fit has neither column nor stretch: it is read, drawn, exported; verifying says so and finds no fault."""
    old = replace(made(), number=0, time_unit="", from_reading=0, to_reading=0, period=0.0)
    store = recorded_job(tmp_path, CSV, old)
    text = (store.home.session_folder(SESSION) / "journal.toml").read_text("utf-8")
    assert not any(f"{key} =" in text for key in ("from_reading", "to_reading", "time_unit", "period"))
    (kept,) = store.load(SESSION).state.recordings
    assert kept.found == old and not kept.found.chosen
    found = verified(store, SESSION)
    assert found.ok and any("can't be computed anew" in note for note in found.notes)
    import_(store_at(tmp_path / "away"), export(store, SESSION, tmp_path))


@pytest.mark.parametrize("key", ["number", "time_unit", "to_reading", "period"])
def test_half_of_the_choices_is_no_record(key):
    """One of the five alone is what no version wrote."""
    none = {"number": 0, "time_unit": "", "from_reading": 0, "to_reading": 0, "period": 0.0}
    some = {**none, key: getattr(made(), key) or 1}
    with pytest.raises(ValueError, match="what no fit gives"):
        replace(made(), **some)
