"""A journal on disk with forged values under seals that hold: every view of it stands, or says what is wrong."""

import json
import shutil

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.stored_sessions import SESSION, home_at
from tests.sessions.test_session_verification import resealed
from wizard.archive.facts_reading import facts_of
from wizard.cli import replay_text, session_text, verification_text
from wizard.cli.output import write_lines, write_table
from wizard.errors import JournalError, SteadfootError
from wizard.journal.journal_reader import read
from wizard.platform import crash_log
from wizard.review.flags.flag_rules import flags
from wizard.review.replay import Replay
from wizard.screens.viewmodels.session_list import summary
from wizard.sessions.report_writing import write_report
from wizard.sessions.session_verification import verified
from wizard.sessions.sign_off import Review
from wizard.sessions.transfer import export

TEXTS = [
    "",
    "x",
    "end",
    "held",
    "stopped",
    "9999-12-31T23:59:59-23:00",
    "2026-11-25",
    "\x1b[31m",
    "é\u202e",
]
NUMBERS = [-1, 0, 1, 3, 99, 2**62, 1e300, 5e-324, -0.5, float("inf"), float("nan")]
OTHERS = [True, [], {}, ["x", "x"], [1], [[]], {"a": 1}, {"a": "b"}, {"a": [1]}]


def listed(store):
    assert facts_of(store, SESSION).session == SESSION
    summary(store, SESSION)


def shown_and_listed(store):
    loaded = store.load(SESSION)
    assert all(
        isinstance(line, str)
        for line in (*session_text.lines_of(loaded, Review()), *replay_text.lines_of(loaded))
    )
    json.dumps([session_text.table_of(loaded), replay_text.table_of(loaded)], allow_nan=False)


def gone_through(store):
    loaded = store.load(SESSION)
    replay = Replay(loaded.flow, loaded.records)
    for place in range(1, len(replay) + 1):
        assert replay.frame(place).shown.title
    flags(replay)


def held_to_its_seals(store):
    found = verified(store, SESSION, "0" * 16)
    assert list(verification_text.lines_of(found)) and not found.ok
    json.dumps(verification_text.table_of(found), allow_nan=False)


def sent(store):
    target = store.root / "sent.zip"
    target.unlink(missing_ok=True)
    export(store, SESSION, target)


VIEWS = (listed, shown_and_listed, gone_through, held_to_its_seals, sent)


def forge(events, data):
    """One value of one event another, mostly of its own type."""
    place = data.draw(st.integers(0, len(events) - 1))
    key = data.draw(st.sampled_from(sorted(events[place])))
    old = events[place][key]
    like = TEXTS if isinstance(old, str) else NUMBERS if isinstance(old, int | float) else OTHERS
    value = data.draw(st.sampled_from(like + (OTHERS if data.draw(st.integers(0, 5)) == 0 else [])))
    return [{**e, key: value} if n == place else e for n, e in enumerate(events)]


@given(st.data())
@settings(
    max_examples=examples(15), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_forged_value_is_shown_or_refused_in_words(tmp_path_factory, data):
    """show, replay, flags, verify, export and the list: none ends in anything but plain words."""
    root = tmp_path_factory.mktemp("forged")
    store = home_at(root)
    resealed(store.home.session_folder(SESSION) / "journal.toml", lambda events: forge(events, data))
    for view in VIEWS:
        try:
            view(store)
        except SteadfootError as trouble:
            assert str(trouble)
    shutil.rmtree(root)


def test_time_that_is_none_is_shown(tmp_path):
    """'end' for a time: everything else is there."""
    store = home_at(tmp_path)
    journal = store.home.session_folder(SESSION) / "journal.toml"
    place = next(n for n, e in enumerate(read(journal).events) if e["kind"] == "answered")
    resealed(journal, lambda events: [{**e, "at": "end"} if n == place else e for n, e in enumerate(events)])
    lines = list(session_text.lines_of(store.load(SESSION), Review()))
    assert any(line.strip().startswith("--:--") for line in lines) and "Stands  no fault confirmed" in lines


def test_control_characters_reach_no_terminal(capsys):
    """What a forged journal holds for the terminal to obey is written out as its code."""
    write_lines(["a \x1b[31mred\u202e", "two\nlines"])
    write_table([["x\x07"]], ["head"])
    assert capsys.readouterr().out == "a \\x1b[31mred\\u202e\ntwo\\nlines\nhead\nx\\x07\n"


def test_event_of_an_unknown_run_leaves_the_rest_to_be_looked_at(tmp_path):
    """It is left out and said; the frames, the list, the flags and the check go on to the end."""
    store = home_at(tmp_path)
    journal = store.home.session_folder(SESSION) / "journal.toml"
    place = next(n for n, e in enumerate(read(journal).events) if e["kind"] == "answered")
    resealed(journal, lambda events: [{**e, "run": 77} if n == place else e for n, e in enumerate(events)])
    loaded = store.load(SESSION)
    assert loaded.trouble == (f"Event {place + 1} speaks of run 77, which never began.",)
    assert f"Left out  {loaded.trouble[0]}" in list(session_text.lines_of(loaded, Review()))
    replay = Replay(loaded.flow, loaded.records)
    assert "never began" in replay.frame(place + 1).trouble
    assert replay.frame(len(replay)).after.state.job == "closed"
    assert any(f.rule == "against-rules" and f.seq == place + 1 for f in flags(replay))
    found = verified(store, SESSION)
    assert not found.read and not found.ok and any(b.seq == place + 1 for b in found.breaches)


def test_key_that_is_missing_or_unknown_is_named(tmp_path):
    """Not the bare name of the key."""
    store = home_at(tmp_path)
    journal = store.home.session_folder(SESSION) / "journal.toml"
    place = next(n for n, e in enumerate(read(journal).events) if e["kind"] == "complaint")
    original = journal.read_bytes()
    for change, said in (
        (lambda e: {k: v for k, v in e.items() if k != "words"}, "its key 'words' is missing"),
        (lambda e: {**e, "text": "x"}, "its key 'text' is not known"),
        (lambda e: {**e, "kind": "lunch"}, "no event is of kind 'lunch'"),
        (lambda e: {**e, "since": float("nan")}, "its key 'since' is nan, no finite number"),
    ):
        journal.write_bytes(original)
        resealed(
            journal, lambda es, change=change: [change(e) if n == place else e for n, e in enumerate(es)]
        )
        assert said in verified(store, SESSION).read


@pytest.mark.parametrize("belief", [{"told": ["foo"]}, {"foo": ["x"]}])
@pytest.mark.parametrize("which", ["first", "last"])
def test_a_belief_that_the_flow_does_not_have_is_a_finding_of_the_record(tmp_path, belief, which):
    """Under seals that hold: shown, gone through, reported with a sentence on it; no work goes on with it."""
    store = home_at(tmp_path)
    journal = store.home.session_folder(SESSION) / "journal.toml"
    places = [n for n, e in enumerate(read(journal).events) if e.get("belief")]
    place = places[0 if which == "first" else -1]
    resealed(
        journal,
        lambda es: [
            {**e, "belief": {**e["belief"], **belief}} if n == place else e for n, e in enumerate(es)
        ],
    )
    name = next(iter(belief))
    loaded = store.load(SESSION)
    (trouble,) = (t for t in loaded.trouble if name in t)
    assert trouble.startswith(f"Event {place + 1} tells of ")
    for view in VIEWS:
        view(store)
    assert f"Left out  {trouble}" in list(session_text.lines_of(store.salvage(SESSION), Review()))
    assert trouble in write_report(store, SESSION, tmp_path / "r.html").notes
    assert any(b.seq == place + 1 for b in verified(store, SESSION).breaches)
    with pytest.raises(JournalError, match=r"tells of .* session verify"):
        store.resume(SESSION)


def test_nobody_is_told_that_a_record_is_whole_where_a_fault_was_met(tmp_path):
    """A fault of the program's own verified nothing."""
    for said in (crash_log.keep(tmp_path, ValueError("x")), crash_log.survived(tmp_path, ValueError("x"))):
        assert "whole" not in said and "kept" in said
