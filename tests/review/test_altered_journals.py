"""Journals that nobody's program wrote: whatever is in an event, review says so in words and never breaks."""

from dataclasses import fields, replace

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.paced_jobs import Paced, closed, mended, parts, weak
from wizard.engine.audit import audit, transactions
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import from_dict, to_dict
from wizard.errors import SteadfootError
from wizard.review.flags.flag_rules import flags
from wizard.review.replay import Replay
from wizard.review.timeline import stays, timeline


def whole():
    """A job with every kind of event that a reviewer meets."""
    job = weak(Paced())
    job.do(c.AddNote("A note."))
    job.do(c.Correct(job.state.answer_records[1].seq, ("no",), "misheard"))
    mended(job, parts(damper=1))
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
        "supply",
        "12 kg",
        "1/0",
        "9" * 400,
        "-",
        "held",
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
    return {} if value else {pick.draw(WORDS): pick.draw(st.sampled_from([0.5, ["held"], []]))}


@given(st.data())
@settings(max_examples=examples(80), deadline=None)
def test_event_altered_in_any_field_is_reviewed_or_refused_in_words(data):
    """One field of one event is something else: the replay, its frames, rows and flags hold, and the event is named;
    or it is refused in words. What was asked for it stands there as it was.
    """
    records = list(JOB.records)
    place = data.draw(st.integers(0, len(records) - 1))
    event, table = records[place].event, to_dict(records[place])
    names = [f.name for f in fields(event)]
    if names:
        name = data.draw(st.sampled_from(names))
        value = changed(getattr(event, name), data)
        table[name] = list(value) if isinstance(value, tuple) else value
    try:
        records[place] = from_dict(table)
        replay = Replay(JOB.flow, records)
        for spot in range(1, len(replay) + 1):
            assert replay.frame(spot).shown.title
        timeline(replay)
        stays(replay)
        found = [f for f in flags(replay) if f.rule == "against-rules"]
        assert found or records[place].event == event
    except SteadfootError as trouble:
        assert str(trouble)


@given(st.data())
@settings(max_examples=examples(60), deadline=None)
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


def numbered(records):
    """Numbered from 1 on, as a forger would who takes care."""
    return [replace(r, seq=n) for n, r in enumerate(records, 1)]


def breaches(records):
    return audit(Replay(JOB.flow, ()).rules, numbered(records))


SEVERAL = [t for t in transactions(JOB.records) if len(t) > 1]


@given(st.sampled_from(SEVERAL), st.data())
@settings(max_examples=examples(120), deadline=None)
def test_event_left_out_of_what_was_asked_for_is_found(written, data):
    """Each command is decided again: what it brings about and isn't there is missed, the numbers made good or not."""
    gone = data.draw(st.sampled_from(written))
    assert breaches([r for r in JOB.records if r is not gone])


@given(st.sampled_from(JOB.records), st.integers(0, len(JOB.records)))
@settings(max_examples=examples(120), deadline=None)
def test_event_put_in_is_found(record, place):
    """One that stands elsewhere, with no word of what was asked for it."""
    added = replace(record, asked=None)
    assert breaches([*JOB.records[:place], added, *JOB.records[place:]])


BELIEVED = [r for r in JOB.records if getattr(r.event, "belief", None)]


@given(st.sampled_from(BELIEVED), st.data())
@settings(max_examples=examples(120), deadline=None)
def test_forged_belief_is_found(record, data):
    """One condition of an event is believed to be otherwise, as that the power is off; all else stands as it was."""
    name = data.draw(st.sampled_from(sorted(JOB.flow.conditions)))
    value = data.draw(st.sampled_from(sorted(JOB.flow.conditions[name].values)))
    belief = {**record.event.belief, name: frozenset((value,))}
    forged = replace(record, event=replace(record.event, belief=belief))
    found = breaches([forged if r is record else r for r in JOB.records])
    assert found or belief == record.event.belief


def test_journal_as_it_was_written_is_clean():
    """So that the tests above find what they forged and nothing else."""
    assert breaches(JOB.records) == ()
