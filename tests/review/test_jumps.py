"""What a reviewer goes to: each kind at its events, against a look at every event of a whole job."""

from dataclasses import replace

import pytest

from tests.helpers.wandering_jobs import Watched
from wizard.domain.clock_times import zone_of, zone_text
from wizard.domain.vocabulary import NextKind, Verdict
from wizard.engine.messages import commands as c
from wizard.engine.messages import events as ev
from wizard.errors import JournalError, Refused
from wizard.review.event_search import events_with
from wizard.review.jumps import LONG, Jump, jump_places, long_pauses, longest_pause, pause_before, refusals
from wizard.review.photo_file import photo_file
from wizard.review.replay import Replay


@pytest.fixture(scope="module")
def job():
    """Worn dampers found, repaired and proved, with notes, a photo and a pause."""
    made = Watched()
    made.do(c.AddNote("The floor is wet."))
    made.do(c.AddPhoto("0123456789abcdef.jpg", "a" * 64, "The plug"))
    made.clock.move(400)
    made.do(c.AddNote("It is dry."))
    made.find_worn()
    made.until(NextKind.CLOSE)
    return made


@pytest.fixture(scope="module")
def replay(job):
    return Replay(job.flow, job.records)


@pytest.mark.parametrize(
    ("kind", "fits"),
    [
        (Jump.DECISION, lambda e: isinstance(e, ev.Decided)),
        (Jump.REPAIR, lambda e: isinstance(e, ev.RepairDone)),
        (Jump.PHOTO, lambda e: isinstance(e, ev.PhotoTaken)),
        (Jump.NOTE, lambda e: isinstance(e, ev.NoteTaken)),
        (
            Jump.NOT_PASSED,
            lambda e: isinstance(e, ev.Answered) and e.verdict in (Verdict.FAIL, Verdict.WATCH),
        ),
    ],
)
def test_each_kind_is_at_its_events_and_no_other(replay, kind, fits):
    wanted = [place for place, record in enumerate(replay.records, 1) if fits(record.event)]
    assert wanted and list(jump_places(replay, kind)) == wanted
    assert replay.jump(0, kind) == wanted[0] and replay.jump(wanted[-1], kind) == wanted[-1]
    assert replay.jump(len(replay) + 1, kind, forward=False) == wanted[-1]


def test_the_longest_pause_is_where_most_time_went_by(replay):
    """By the steady clock, and over a restart by the wall clock, which alone went on."""
    place = longest_pause(replay.records)
    assert pause_before(replay.records, place) == 405 >= LONG
    assert jump_places(replay, Jump.PAUSE) == (place,) == (jump_places(replay, Jump.NOTE)[1],)
    later = [replace(r, at=r.at.replace("T09:", "T11:")) if r.seq > 5 else r for r in replay.records]
    assert longest_pause(later) == 6 and pause_before(later, 6) > 7000
    assert pause_before(replay.records, 1) == 0.0
    odd = [replace(r, at="x") for r in replay.records]
    assert longest_pause(odd) == place


def test_where_no_pause_is_long_the_longest_one_can_be_gone_to():
    """One that took a minute, among others that took none; where no time went by there is none."""
    short = Watched()
    still = [replace(record, at=short.records[0].at, since=0.0) for record in short.records]
    assert long_pauses(still) == () and longest_pause(still) == 0
    short.clock.move(60)
    short.do(c.AddNote("Wet."))
    (place,) = long_pauses(short.records)
    assert isinstance(short.records[place - 1].event, ev.NoteTaken)


def test_what_was_refused_after_a_long_absence_is_found_with_its_words():
    """The answer that was typed then was not taken: the record has the lapse, and what was asked."""
    job = Watched()
    job.do(c.OpenInspection("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    run = job.state.run
    before = len(job.records)
    job.clock.move(3 * 3600)
    with pytest.raises(Refused):
        job.session.do(c.GiveAnswer(run.id, run.at, ("settles",)))
    replay = Replay(job.flow, job.records)
    (place,) = jump_places(replay, Jump.REFUSED)
    assert place == before + 1 and "Nobody was seen here" in refusals(replay)[place]
    assert replay.frame(place).refused == refusals(replay)[place] and not replay.frame(place - 1).refused
    assert jump_places(Replay(job.flow, job.records[:before]), Jump.REFUSED) == ()


def test_words_are_found_in_what_was_done_typed_and_put_right(replay):
    """All of them in one event, in any case; none for nothing."""
    notes = jump_places(replay, Jump.NOTE)
    assert events_with(replay, "FLOOR wet") == notes[:1] and events_with(replay, "floor purple") == ()
    assert events_with(replay, "  ") == ()
    assert set(jump_places(replay, Jump.NOT_PASSED)) & set(events_with(replay, "fail"))
    assert events_with(replay, "dampers.pull")


@pytest.mark.parametrize(("text", "minutes"), [("+01:00", 60), ("-03:30", -210), ("+05:45", 345)])
def test_times_are_of_the_zone_that_the_session_began_in(replay, text, minutes):
    """As the record has it, and so labelled; an unknown one is UTC, and said to be."""
    first = replay.records[0]
    records = (replace(first, event=replace(first.event, zone=text)), *replay.records[1:])
    there = Replay(replay.flow, records)
    assert (
        there.zone.zone.utcoffset(None).total_seconds() == 60 * minutes and there.zone.words == f"UTC{text}"
    )
    assert (replay.zone.words, replay.zone.zone.utcoffset(None).total_seconds()) == ("UTC", 0)


@pytest.mark.parametrize("text", ["", "x", "+25:00", "01:00", "+01:75", "+1:00"])
def test_what_is_no_zone_is_utc(text):
    assert zone_of(text).utcoffset(None).total_seconds() == 0


def test_a_session_begun_now_has_the_zone_of_its_computer(tmp_path):
    from tests.helpers.jobs import good
    from tests.helpers.stored_sessions import flow_files, store_at

    store = store_at(tmp_path)
    with store.begin(good(), flow_files(), "R. Vale", "T-1") as opened:
        name = opened.name
    assert store.load(name).records[0].event.zone == zone_text(store.clock.wall().astimezone())


PNG = b"\x89PNG\r\n\x1a\n" + bytes(40)


@pytest.mark.parametrize(
    ("name", "data", "fine"),
    [("a.jpg", b"\xff\xd8\xff\xe0" + bytes(40), True), ("a.png", PNG, True),
     ("a.heic", b"\0\0\0\x18ftypheic" + bytes(40), True), ("a.exe", PNG, False), ("a.jpg", PNG, False),
     ("a.png", b"MZ" + bytes(40), False), ("a.desktop", b"[Desktop Entry]", False)],
)  # fmt: skip
def test_only_a_picture_of_its_name_is_handed_to_a_viewer(tmp_path, name, data, fine):
    """What came from elsewhere could be a program; and what was altered since is not the photo."""
    from wizard.journal import attachments

    source = tmp_path / name
    source.write_bytes(data)
    kept = attachments.keep(tmp_path / "s", source)
    event = ev.PhotoTaken(name=kept.name, sha256=kept.sha256)
    if not fine:
        with pytest.raises(JournalError, match="no picture"):
            photo_file(tmp_path / "s", event)
        return
    path = photo_file(tmp_path / "s", event)
    assert path.read_bytes() == data
    path.write_bytes(data + b"x")
    with pytest.raises(JournalError, match="altered"):
        photo_file(tmp_path / "s", event)
