"""Journals that nobody's program wrote: whatever is in an event, review says so in words and never breaks."""

from dataclasses import fields, replace

from hypothesis import given, settings
from hypothesis import strategies as st
from paced import Paced, closed, mended, weak

from wizard.engine import commands as c
from wizard.engine.events import from_dict, to_dict
from wizard.errors import SteadfootError
from wizard.review.flags import flags
from wizard.review.replay import Replay
from wizard.review.timeline import stays, timeline


def whole():
    """A job with every kind of event that a reviewer meets."""
    job = weak(Paced())
    job.do(c.AddNote("A note."))
    job.do(c.Correct(job.state.given[0].seq, "no", "misheard"))
    mended(job, ("damper x1",))
    return closed(job)


JOB = whole()

WORDS = st.sampled_from(
    [
        "",
        "x",
        "fail",
        "excellent",
        "end",
        "dampers",
        "pull",
        "recheck:x.y",
        "12 kg",
        "1/0",
        "9" * 400,
        "-",
        "isolated",
    ]
)


def changed(value, pick):
    """Another value of the same type."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return pick.draw(st.sampled_from([0, 1, -1, 3, 99, 2**40]))
    if isinstance(value, float):
        return pick.draw(st.sampled_from([0.0, -1.0, 1e300, 5e-324]))
    if isinstance(value, str):
        return pick.draw(WORDS)
    if isinstance(value, tuple):
        return (
            ()
            if value
            else tuple(pick.draw(st.lists(WORDS, max_size=2)))
            if pick.draw(st.booleans())
            else value
        )
    return {} if value else {pick.draw(WORDS): 0.5}


@given(st.data())
@settings(max_examples=250, deadline=None)
def test_event_altered_in_any_field_is_reviewed_or_refused_in_words(data):
    """One field of one event is something else: the replay, its frames, rows and flags hold, or say what is wrong."""
    records = list(JOB.records)
    place = data.draw(st.integers(0, len(records) - 1))
    event = records[place].event
    names = [f.name for f in fields(event)]
    if names:
        name = data.draw(st.sampled_from(names))
        event = replace(event, **{name: changed(getattr(event, name), data)})
    records[place] = replace(records[place], event=event)
    try:
        records[place] = from_dict(to_dict(records[place]))
        replay = Replay(JOB.flow, records)
        for spot in range(1, len(replay) + 1):
            assert replay.frame(spot).shown.title
        timeline(replay)
        stays(replay)
        flags(replay)
    except SteadfootError as trouble:
        assert str(trouble)


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_events_left_out_or_moved_are_reviewed_or_refused_in_words(data):
    """Events dropped, doubled or out of order. Cut off the end alone leaves a job not yet over, as the seal shows."""
    records = list(JOB.records)
    for _ in range(data.draw(st.integers(1, 3))):
        place = data.draw(st.integers(0, len(records) - 1))
        taken = records.pop(place)
        if data.draw(st.booleans()):
            records.insert(data.draw(st.integers(0, len(records))), taken)
    try:
        replay = Replay(JOB.flow, records)
        timeline(replay)
        found = flags(replay)
    except SteadfootError as trouble:
        assert str(trouble)
    else:
        assert records == JOB.records[: len(records)] or [f for f in found if f.rule == "against-rules"]
